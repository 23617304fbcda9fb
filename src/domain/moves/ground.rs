//! What reading a move needs to know of the board.

use std::collections::BTreeMap;

use crate::domain::code::Code;
use crate::domain::entry::{Number, Place};
use crate::domain::facility::Facility;
use crate::domain::people::{Person, Product};
use crate::domain::policy::Policy;

pub struct Ground<'a> {
    pub facility: &'a Facility,
    pub people: &'a BTreeMap<Code, Person>,
    pub products: &'a BTreeMap<Code, Product>,
    pub policy: &'a Policy,
    pub newest_of: &'a dyn Fn(&Place) -> Number,
    /// The rooms from which a bag is outstanding.
    pub rooms_of_bag: &'a dyn Fn(Code) -> Vec<Code>,
}
