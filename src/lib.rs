//! Dryhold: a room-turnover board for hospitals that find and treat bed bugs.
//!
//! Imports point one way: `tui` and `cli` use `desk`, which uses `ledger`, `setup` and `trace`, which use `domain`, which uses
//! `science`. Everything below `desk` that decides anything is pure.

pub mod cli;
pub mod demo;
pub mod desk;
pub mod domain;
pub mod ledger;
pub mod science;
pub mod setup;
pub mod trace;
pub mod tui;
