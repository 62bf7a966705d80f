"""How docs/pictures/ are made: the demo book on one day, looked at by a browser and a printer."""
