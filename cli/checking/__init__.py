"""The command that holds photos of the design wall against its plan.

In: photos, a kept bundle, and by which plan it should hang. Out: what differs in words or JSON, the
picture of it, and, where that is asked, the plan made to follow the wall. `checking_options` says
what may be typed, `plan_wanted` finds the plan, `wall_run` is the order of the steps.
"""
