//! The full screen: keys to commands, the board to pictures.
//!
//! It builds no entries and holds no rules: a form's answers go to the desk as a command, and the desk's answer comes back.
//! Read in this order: the keys and the look, then what holds the terminal (`terminal`, `arrivals`, `sink`), then the state
//! (`app`), what changes it (`update`), what shows it (`draw`), the screens, and the form.

mod age;
mod app;
pub mod arrivals;
mod ask;
mod beds;
mod board;
mod choice;
mod draw;
mod form;
pub mod keys;
mod line;
pub mod look;
mod page;
mod paint;
mod room;
mod run;
pub mod sink;
mod survey;
pub mod terminal;
mod update;
mod world;

pub use app::{App, Base};
pub use draw::paint;
pub use run::{Options, TuiError, run};
pub use update::{Effect, Msg, Noted, update};
pub use world::World;
