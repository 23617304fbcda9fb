//! The full screen: keys to commands, the board to pictures.
//!
//! It builds no entries and holds no rules: a form's answers go to the desk as a command, and the desk's answer comes back.
//! Read in this order: the keys and the look, then what holds the terminal (`terminal`, `arrivals`, `sink`), then the state
//! (`app`), what changes it (`update`), what shows it (`draw`), the screens, and the form.

mod age;
mod app;
pub mod arrivals;
mod ask;
mod bags;
mod base;
mod beds;
mod board;
mod book;
mod choice;
mod cursor;
mod draw;
mod encode;
mod form;
mod hints;
pub mod keys;
mod ledger;
mod line;
pub mod look;
mod noting;
mod page;
mod paint;
mod person;
mod room;
mod rules;
mod run;
pub mod sink;
mod step;
mod survey;
mod tasks;
pub mod terminal;
mod update;
mod wall;
mod world;

pub use app::App;
pub use base::Base;
pub use draw::paint;
pub use run::{Left, Options, TuiError, run};
pub use update::{Answer, Effect, Filed, Filing, Msg, Noted, Pin, answered, filed, update};
pub use world::World;
