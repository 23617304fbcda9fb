//! What a task gives back: the beds without a patient that are closed and wait for it, and whether they wait for anything
//! else. It counts what the board asks for now; it permits nothing, and a bed is open only when `admission` says so.

use std::collections::BTreeMap;

use super::Board;
use super::admission::Occupancy;
use super::room::Room;
use super::state::State;
use super::tasks::{Task, TaskKind, unmet};
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::domain::facility::RoomPlan;
use crate::domain::need::Need;
use crate::domain::policy::Setting;

/// The closed beds that wait for one task.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Gives {
    /// Beds that wait for nothing else.
    pub opens: Vec<Code>,
    /// Beds that wait for more besides.
    pub nearer: Vec<Code>,
    /// Known steps before the bed that lacks least opens, this task included. 0: no bed waits for it.
    pub steps: usize,
    /// More steps will follow that nobody can count yet.
    pub more: bool,
}

impl Gives {
    pub fn is_nothing(&self) -> bool {
        self.steps == 0
    }

    /// More is better: beds opened at once, then the shortest way, then beds brought nearer.
    pub fn worth(&self) -> (usize, std::cmp::Reverse<(bool, usize)>, usize) {
        (self.opens.len(), std::cmp::Reverse((self.more, self.steps)), self.nearer.len())
    }

    /// `opens 2 beds`, `1 of 4 steps to 2 beds`, `1 of 2+ steps` where more will follow. Empty: no bed waits for it.
    pub fn words(&self) -> String {
        let beds = |count: usize| format!("{count} bed{}", if count == 1 { "" } else { "s" });
        match (self.opens.len(), self.nearer.len()) {
            (0, 0) => String::new(),
            (0, nearer) if self.more => format!("1 of {}+ steps to {}", self.steps, beds(nearer)),
            (0, nearer) => format!("1 of {} steps to {}", self.steps, beds(nearer)),
            (opens, 0) => format!("opens {}", beds(opens)),
            (opens, nearer) => format!("opens {}, {nearer} more nearer", beds(opens)),
        }
    }
}

/// What keeps the beds of one room, in steps.
#[derive(Clone, Copy, Default)]
struct Way {
    steps: usize,
    more: bool,
}

impl Board {
    /// Works out for every task what it gives back.
    pub(super) fn weigh(&self, tasks: &mut [Task], now: Time) {
        let mut known: BTreeMap<Code, (Vec<Code>, Way)> = BTreeMap::new();
        // One walk does for its ward, and every room of the ward has a task for it.
        let mut walks: BTreeMap<Code, Gives> = BTreeMap::new();
        for task in tasks.iter_mut().filter(|task| task.kind.holds_beds()) {
            let ward = self.facility().room(task.room).map(|plan| plan.ward);
            let ward = ward.filter(|_| task.kind == TaskKind::WardWalk);
            if let Some(gives) = ward.and_then(|ward| walks.get(&ward)) {
                task.gives.clone_from(gives);
                continue;
            }
            for code in self.reach(task) {
                let (beds, way) = known.entry(code).or_insert_with(|| self.waiting(code, now));
                if beds.is_empty() || way.steps == 0 {
                    continue;
                }
                let gives = &mut task.gives;
                if way.steps == 1 && !way.more {
                    gives.opens.extend_from_slice(beds);
                } else {
                    gives.nearer.extend_from_slice(beds);
                }
                let least = (gives.more, gives.steps).min((way.more, way.steps));
                (gives.more, gives.steps) = if gives.steps == 0 { (way.more, way.steps) } else { least };
            }
            walks.extend(ward.map(|ward| (ward, task.gives.clone())));
        }
    }

    /// The rooms whose beds wait for a task: its own and those that it serves, its ward's, or all.
    fn reach(&self, task: &Task) -> Vec<Code> {
        let facility = self.facility();
        let Some(plan) = facility.room(task.room) else { return vec![] };
        match task.kind {
            TaskKind::Attest if self.everywhere().any(|closed| closed.number == task.cause) => {
                facility.rooms.keys().copied().collect()
            }
            TaskKind::WardWalk => {
                let ward = facility.wards.get(&plan.ward).map(|ward| ward.rooms.as_slice()).unwrap_or_default();
                let walked = |code: &&Code| {
                    let needs = self.room(**code).map(unmet).unwrap_or_default();
                    needs.iter().any(|(_, need)| *need == Need::Walked)
                };
                let mut rooms: Vec<Code> = ward.iter().filter(walked).copied().collect();
                let served = rooms.iter().filter_map(|code| facility.room(*code)).flat_map(|plan| plan.serves.clone());
                let served: Vec<Code> = served.collect();
                rooms.extend(served);
                rooms.sort();
                rooms.dedup();
                rooms
            }
            _ => std::iter::once(task.room).chain(plan.serves.iter().copied()).collect(),
        }
    }

    /// The beds of a room that are closed though no patient is in them, and what they wait for.
    fn waiting(&self, code: Code, now: Time) -> (Vec<Code>, Way) {
        let Some(plan) = self.facility().room(code) else { return (vec![], Way::default()) };
        let kept = self.policy().is_on(Setting::OccupancyKept);
        let free = |bed: &Code| match self.occupancy(*bed, now) {
            Occupancy::Empty => true,
            Occupancy::Unknown => !kept,
            Occupancy::Occupied => false,
        };
        let beds: Vec<Code> = plan.beds.iter().map(|bed| bed.code).filter(free).collect();
        if beds.is_empty() || self.room_blockers(code).is_empty() {
            return (vec![], Way::default());
        }
        let mut way = self.way_of(plan);
        let mut walk_counted = self.room(code).is_some_and(waits_for_walk);
        for space in self.facility().spaces_serving(code) {
            let other = self.way_of(space);
            way.steps += other.steps;
            way.more |= other.more;
            // One walk of the ward does for both.
            if self.room(space.code).is_some_and(waits_for_walk) {
                if walk_counted && space.ward == plan.ward {
                    way.steps -= 1;
                }
                walk_counted = true;
            }
        }
        way.steps += self.everywhere().count();
        // A file that cannot be trusted is mended by no task.
        way.more |= self.distrust().is_some();
        (beds, way)
    }

    /// The steps that one room asks for itself: its tasks, and the return that becomes one when nothing else is missing.
    fn way_of(&self, plan: &RoomPlan) -> Way {
        let Some(room) = self.room(plan.code).filter(|room| room.has_unsettled()) else { return Way::default() };
        let tasks = self.need_tasks(plan, room);
        let needs = unmet(room);
        let returns = needs.iter().any(|(_, need)| *need == Need::Returned);
        let listed = tasks.iter().any(|task| task.kind == TaskKind::Return);
        // What is sprayed has to dry, its linens to be laundered, its beds to be made: nobody knows yet how many.
        let more = room.state() == State::Confirmed || needs.iter().any(|(_, need)| need.is_unstated());
        Way { steps: tasks.len() + usize::from(returns && !listed), more }
    }
}

fn waits_for_walk(room: &Room) -> bool {
    unmet(room).iter().any(|(_, need)| *need == Need::Walked)
}
