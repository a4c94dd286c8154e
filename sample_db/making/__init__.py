"""How the sample season is made: its weather, its logger files, its entries."""
