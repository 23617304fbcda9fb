//! Whose dryings to go by: a ward's own once there are enough, else the hospital's.
//!
//! A ward's fit has a prior about the hospital's m and sigma, so that it leaves the hospital's only as far as its own
//! dryings say. The hospital's include the ward's, which are thereby counted a little twice: it keeps the sum simple, and
//! pulls a ward no farther than to where all wards lie.

use super::{Multiplier, Observation, Prior, learn};

/// From so many dryings on a ward is fitted by itself. Assumption: at a sigma of 0.35 m is then known to
/// about 15 % (90 % interval), less than one drying differs from the next.
pub const ENOUGH_DRYINGS: usize = 20;
/// So many of them seen damp and then dry. Rooms that were only ever found dry say how long they take at most, and no more.
pub const ENOUGH_SEEN_DAMP: usize = 5;

/// By whose dryings a multiplier was found.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Whose {
    Ward,
    Hospital,
}

/// The ward's own multiplier if there are enough dryings of it, else the hospital's as it was given.
pub fn ward_or_hospital(ward: &[Observation], hospital: &Multiplier) -> (Whose, Multiplier) {
    let own = learn(ward, &Prior::around(hospital));
    let enough = own.dryings >= ENOUGH_DRYINGS && own.is_grounded();
    if enough { (Whose::Ward, own) } else { (Whose::Hospital, *hospital) }
}
