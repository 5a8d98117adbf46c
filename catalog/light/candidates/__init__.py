"""A photo and its squares in; rival explanations of the light, judged against each other, out."""
