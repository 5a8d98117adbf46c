"""What open tabs are told without asking.

Changes of the catalogue and photos on their way come in; events sent by the server go out.
"""
