"""Charts, cards and paper beside the squares in; what white and the camera's curve are out."""
