//! Why the chosen bed is open, with the entries that prove it, or why it is not, and what settles each reason.

use crate::domain::board::{Board, FullInspection, Occupancy, State, usual_role};
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number};
use crate::domain::likely::{NO_PERMISSION, dry_in_words};
use crate::domain::moves;
use crate::domain::policy::Setting;
use crate::domain::shown::shown;
use crate::tui::age;
use crate::tui::survey::{RoomLine, Survey, open_words};
use crate::tui::world::World;

/// A title and sentences.
pub(super) fn of(bed: Code, world: &World<'_>, survey: &Survey) -> (String, Vec<String>) {
    let plan = world.board.facility().room_of_bed(bed);
    let Some((plan, room)) = plan.and_then(|plan| Some((plan, survey.room(plan.code)?))) else {
        return (String::new(), vec![]);
    };
    let blockers = world.board.admission(bed, world.now);
    let question = if blockers.is_empty() { "Why open" } else { "Why not open" };
    let features = plan.beds.iter().find(|it| it.code == bed).map(|it| it.features.join(", ")).unwrap_or_default();
    let features = if features.is_empty() { features } else { format!(" ({})", shown(&features)) };
    let title = format!("{question}: {bed}{features}, {}", place(room, survey));
    let mut lines = vec![];
    if blockers.is_empty() {
        // It closes nothing, and whoever gives the bed away should know it before all else.
        let zone = world.board.facility().time_zone;
        lines.extend(world.board.marks(bed, world.now).into_iter().map(|mark| {
            let task = survey.tasks.iter().find(|task| task.room == room.code && task.kind == mark.task());
            let still = match task.map(|task| (shown(&task.need), task.due)) {
                Some((need, Some(due))) => format!("; still to do: {need}, {}", age::due(due, world.now, zone)),
                Some((need, None)) => format!("; still to do: {need}"),
                None => String::new(),
            };
            format!("{} {}{}{still}.", mark.sign(), mark.words()[..1].to_uppercase(), &mark.words()[1..])
        }));
        lines.extend(proof(bed, room.code, world));
    } else {
        let earliest =
            survey.room(plan.code).and_then(|room| room.beds.iter().find(|it| it.code == bed)?.earliest.clone());
        lines.extend(earliest.map(|text| match text.starts_with("no time") {
            true => format!("{}{}.", text[..1].to_uppercase(), &text[1..]),
            false => format!("E{}, if all is done without a pause: a plan, no permission.", &text[1..]),
        }));
        let board = world.board;
        let about = (board.state(room.code) == State::TreatedWet).then(|| board.dry_about(room.code)).flatten();
        lines.extend(about.map(|about| {
            let words = dry_in_words(about, board, world.now);
            format!("{}{} ({NO_PERMISSION}).", words[..1].to_uppercase(), &words[1..])
        }));
        lines.extend(room.step.as_ref().filter(|_| blockers.iter().any(|it| it.verb != Some("empty"))).map(|step| {
            let [whole, ..] = step.ways_to_say();
            format!("Next: {whole}.")
        }));
        for blocker in &blockers {
            // A patient's bed becomes empty by itself, and needs no advice.
            let verb = blocker.verb.filter(|verb| *verb != "empty");
            // Whoever has the task: the usual one may be barred from it.
            let role = |verb: &str| {
                let task = survey.tasks.iter().find(|task| task.room == plan.code && task.verb == verb);
                task.map_or_else(|| usual_role(verb), |task| task.role)
            };
            let settles = verb
                .and_then(moves::find)
                .map(|mv| format!(" Settled by: {}, {}.", mv.title.to_lowercase(), role(mv.verb).title()));
            lines.push(format!("{} [{}].{}", shown(&blocker.text), blocker.rule, settles.unwrap_or_default()));
        }
    }
    (title, lines)
}

/// What the line of a ward says that only counts its patients.
pub(super) fn of_ward(ward: Code, survey: &Survey) -> (String, Vec<String>) {
    let Some(line) = survey.wards.iter().find(|it| it.code == ward) else { return (String::new(), vec![]) };
    let open = open_words(line.open, line.promised, line.beds, " beds open");
    let title = format!("Ward {ward} {}: {open}", line.name);
    let text = "These beds are not open only because a patient is in them. Enter lists them, f those of every ward.";
    (title, vec![text.to_owned()])
}

/// `room 3N-05, ward 3N Third floor north, clear`.
fn place(room: &RoomLine, survey: &Survey) -> String {
    let name = if room.name.is_empty() { String::new() } else { format!(" {}", room.name) };
    let ward = survey.wards.get(room.ward);
    let ward = ward.map(|ward| format!(", ward {}", ward.code)).unwrap_or_default();
    format!("room {}{name}{ward}, {}", room.code, room.state)
}

fn proof(bed: Code, code: Code, world: &World<'_>) -> Vec<String> {
    let board = world.board;
    let Some(room) = board.room(code) else { return vec![] };
    let by = |number| by(number, world);
    let empty = room.beds.get(&bed).and_then(|used| used.empty_since());
    let mut lines = vec![match empty {
        Some((number, _)) if board.occupancy(bed, world.now) == Occupancy::Empty => {
            format!("Known to be empty: seen {}.", by(number))
        }
        _ if !board.policy().is_on(Setting::OccupancyKept) => {
            "Whether a patient is in it is not kept here: look.".to_owned()
        }
        _ => return vec![],
    }];
    match room.proof(bed) {
        None => lines.push("No spray of this room is on file.".to_owned()),
        Some(proof) => {
            let mut parts = vec![format!("Last spray {}", by(proof.spray))];
            parts.extend(proof.dry.map(|number| format!("found dry {}", by(number))));
            parts.extend(match proof.bags.as_slice() {
                [] => None,
                [only] => Some(format!("1 bag settled {}", by(*only))),
                [.., last] => Some(format!("{} bags settled, the last {}", proof.bags.len(), by(*last))),
            });
            parts.extend(proof.made.map(|number| format!("bed made {}", by(number))));
            parts.push(format!("returned to service {}", by(proof.returned)));
            lines.push(format!("{}.", parts.join("; ")));
        }
    }
    let clean = |it: &&FullInspection| it.clean && !it.voided;
    if let Some(last) = room.inspections.iter().filter(clean).max_by_key(|it| it.began) {
        lines.push(format!("Last full inspection, nothing seen: {}.", by(last.number)));
    }
    lines
}

/// `09:10, 2 h 20 ago, by HK (entry 640)`.
fn by(number: Number, world: &World<'_>) -> String {
    match entry(number, world) {
        Some(entry) => {
            let zone = Board::facility(world.board).time_zone;
            let when = age::with_age(entry.happened, world.now, zone);
            format!("{when}, by {} (entry {number})", entry.done_by)
        }
        None => format!("in entry {number}"),
    }
}

/// Entries lie in the order of their numbers, but for a damaged file.
fn entry<'a>(number: Number, world: &World<'a>) -> Option<&'a Entry> {
    let at = world.entries.binary_search_by_key(&number, |entry| entry.number).ok()?;
    world.entries.get(at)
}
