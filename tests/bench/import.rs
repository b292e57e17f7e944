//! Import against composed general-purpose tools; see `peers.sh`.

fn main() {}
