"""The simulated world: people, what befalls them, how they answer load, and their coach. Pure: nothing is written."""
