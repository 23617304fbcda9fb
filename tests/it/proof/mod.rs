//! The fold, proved from outside: an oracle that was written apart from it, random histories, damaged ledgers,
//! a table of every command on every board, and a list of broken rules that all of this must catch.

mod acts;
mod damage;
mod histories;
mod hospital;
mod oracle;
