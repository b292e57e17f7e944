//! A throw-away shop: a folder, a frozen clock, the program, and photos made in code.
