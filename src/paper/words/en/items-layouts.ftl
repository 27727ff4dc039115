# What items on layouts of several sets say.
