//! Everything that is tested from outside the library, in one binary: the program, its files and its terminal.
mod architecture;
mod cli;
mod closed;
mod estimate;
mod ledger;
mod proof;
mod rules;
mod setup;
mod situations;
mod table;
mod term;
mod tui;
mod world;
