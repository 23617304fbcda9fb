//! What is known of one bag: where it was last, and its history in sentences.

use super::{Kind, Line, entry};
use crate::domain::board::LoadAt;
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{BagEnd, Body, Entry, Number, Place, Time};
use crate::domain::need::Need;
use crate::domain::policy::Setting;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::paint::wrap;
use crate::tui::tasks::gives_back;
use crate::tui::world::World;

#[derive(Default)]
pub(super) struct Detail {
    pub title: String,
    /// Label and text, one screen line each; a text that goes on has an empty label.
    pub lines: Vec<(String, String)>,
}

/// Columns of the labels.
pub(super) const LABEL: u16 = 12;

impl Detail {
    pub(super) fn of(line: &Line, world: &World<'_>, columns: u16) -> Self {
        let mut told: Vec<(String, String)> = vec![];
        let title = match &line.kind {
            Kind::Out(out) => {
                let holds = if out.treated {
                    "treated things: they were there at the spray and need a wash"
                } else {
                    "things that no spray has reached so far"
                };
                told.push(("Holds".to_owned(), holds.to_owned()));
                told.push((
                    "Gives back".to_owned(),
                    gives_back(line.room, &out.gives, &|need| need == Need::Bag(line.tag), world),
                ));
                if let Some(entry) = out.lost.and_then(|number| entry(world, number)) {
                    let text = format!(
                        "cannot be found since {}, said {} (entry {}): look for it; once found, launder it",
                        when(entry.happened, world),
                        entry.done_by,
                        entry.number
                    );
                    told.push(("LOST".to_owned(), text));
                } else if let Some(load) = out.failed {
                    told.push(("Load failed".to_owned(), format!("wash again; entry {load} says why")));
                } else if out.overdue {
                    let after = world.board.policy().minutes(Setting::BagEscalationMinutes);
                    told.push(("Overdue".to_owned(), format!("out for more than {}: look for it", age::length(after))));
                }
                format!("Bag {} of room {}, out since {}", line.tag, line.room, when(out.since, world))
            }
            Kind::Settled(number) => format!("Bag {} of room {}, settled by entry {number}", line.tag, line.room),
        };
        let first = match &line.kind {
            Kind::Out(out) => out.cause,
            Kind::Settled(number) => asked_before(line, *number, world),
        };
        for it in of_bag(line, first, world) {
            let mut text = format!(
                "{}, by {}: {}",
                when(it.happened, world),
                it.done_by,
                shown(&describe::sentence(it, world.board))
            );
            if let Some(why) = failure(it, world) {
                text = format!("{text}; {why}");
            }
            if let Some(void) = void_of(it.number, world) {
                text = format!("VOIDED by entry {void}, counts no more: {text}");
            }
            told.push((format!("Entry {}", it.number), text));
        }
        let mut lines = vec![];
        for (label, text) in told {
            let mut label = label;
            for line in wrap(&text, columns.saturating_sub(LABEL)) {
                lines.push((std::mem::take(&mut label), line));
            }
        }
        Self { title, lines }
    }
}

/// The entry that voided this one, if one did.
pub(in crate::tui) fn void_of(number: Number, world: &World<'_>) -> Option<Number> {
    let from = world.entries.partition_point(|entry| entry.number <= number);
    let after = world.entries.get(from..).unwrap_or_default().iter();
    let voids = |entry: &&Entry| matches!(entry.body, Body::Voided { entry: target, .. } if target == number);
    after.filter(voids).map(|entry| entry.number).next()
}

fn when(time: Time, world: &World<'_>) -> String {
    age::with_age(time, world.now, world.board.facility().time_zone)
}

/// Where it was last, short and in full. A bag is not tracked: what was noted of it is all that is known.
pub(super) fn whereabouts(
    tag: Code,
    cause: Number,
    failed: &[Number],
    treated: bool,
    world: &World<'_>,
) -> (String, String) {
    let zone = world.board.facility().time_zone;
    let contents = if treated { "treated" } else { "unsprayed" };
    if let Some(load) = failed.last().and_then(|number| entry(world, *number)) {
        let at = age::clock(load.happened, world.now, zone);
        let why = failure(load, world).unwrap_or_default();
        let again = if failed.len() > 1 { format!(" ({} loads)", failed.len()) } else { String::new() };
        let short = format!("wash again: failed {at}{again}");
        return (short, format!("load failed: wash again, entry {}{again}: {}", load.number, why));
    }
    let filled = entry(world, cause).filter(|entry| matches!(entry.body, Body::Prepared { .. }));
    match filled {
        Some(filled) => {
            let at = age::clock(filled.happened, world.now, zone);
            let long = format!("filled in the room {at} by {}, entry {cause}; {contents}", filled.done_by);
            (format!("filled {at}, {contents}"), long)
        }
        None => (format!("named, entry {cause}"), format!("bag {tag} named by entry {cause}; {contents}")),
    }
}

/// Of a bag that nobody finds: since when, and who said so; short and in full.
pub(super) fn lost_words(lost: &Entry, world: &World<'_>) -> (String, String) {
    let at = age::clock(lost.happened, world.now, world.board.facility().time_zone);
    let by = lost.done_by;
    (format!("LOST {at}, {by}"), format!("LOST since {at}, said {by}, entry {}: look for it", lost.number))
}

/// Why a load did not do, if it did not.
fn failure(entry: &Entry, world: &World<'_>) -> Option<String> {
    let Body::Laundered { bag, cycle, .. } = &entry.body else { return None };
    let failures = world.board.load_failures(&LoadAt::of(entry, *bag, cycle));
    (!failures.is_empty()).then(|| shown(&failures.join("; ")))
}

/// How it ended, short and in full.
pub(super) fn ending(entry: &Entry) -> (String, String) {
    let by = entry.done_by;
    let (short, long) = match &entry.body {
        Body::Laundered { slip, .. } if !slip.trim().is_empty() => {
            (format!("laundered by {by}"), format!("laundered, noted by {by} from slip {}", shown(slip)))
        }
        Body::BagEnded { end, .. } => match end {
            BagEnd::Destroyed { witness } => {
                (format!("destroyed by {by}"), format!("destroyed by {by}, witness {witness}"))
            }
            BagEnd::Heated => (format!("heated by {by}"), format!("heated by {by}")),
            BagEnd::Inspected => (format!("inspected by {by}"), format!("inspected by {by}")),
            BagEnd::Lost => (format!("not found by {by}"), format!("not found by {by}")),
        },
        _ => (format!("laundered by {by}"), format!("laundered by {by}")),
    };
    (short, format!("{long}, entry {}", entry.number))
}

/// The newest entry before its end that filled it anew: its history begins there.
fn asked_before(line: &Line, end: Number, world: &World<'_>) -> Number {
    let before = world.entries.partition_point(|entry| entry.number < end);
    let fills = |entry: &&Entry| {
        matches!(entry.body, Body::Prepared { .. }) && names(entry, line.tag) && touches(entry, line.room)
    };
    let earlier = world.entries.get(..before).unwrap_or_default();
    earlier.iter().rev().find(fills).map_or(end, |entry| entry.number)
}

/// Entries of its room that name it, newest first.
fn of_bag<'a>(line: &Line, first: Number, world: &World<'a>) -> Vec<&'a Entry> {
    let from = world.entries.partition_point(|entry| entry.number < first);
    let about = |entry: &&Entry| names(entry, line.tag) && touches(entry, line.room);
    world.entries.get(from..).unwrap_or_default().iter().rev().filter(about).collect()
}

fn touches(entry: &Entry, room: Code) -> bool {
    matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room))
}

fn names(entry: &Entry, tag: Code) -> bool {
    match &entry.body {
        Body::Prepared { bags, .. } => bags.contains(&tag),
        Body::Sprayed { bags, .. } | Body::SprayCompleted { bags, .. } => {
            bags.as_ref().is_some_and(|bags| bags.contains(&tag))
        }
        Body::Laundered { bag, .. } | Body::BagEnded { bag, .. } => *bag == tag,
        _ => false,
    }
}
