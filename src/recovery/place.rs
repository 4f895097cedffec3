//! Where everything is: lines from the side, what holds a rig from above, whoever works a winch, ground kept clear.

pub mod lie;
pub mod operator;
pub mod stance;
pub mod zones;
