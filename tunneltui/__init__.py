"""tunneltui: the morning round of long-season cordon tomatoes in unheated tunnels."""

__version__ = "0.1.0"
