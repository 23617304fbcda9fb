//! The full screen: keys to commands, the board to pictures.
//!
//! It builds no entries and holds no rules: a form's answers go to the desk as a command, and the desk's answer comes back.
//! Read in this order: the keys and the look, then what holds the terminal (`terminal`, `arrivals`, `sink`).

pub mod arrivals;
pub mod keys;
pub mod look;
pub mod sink;
pub mod terminal;
