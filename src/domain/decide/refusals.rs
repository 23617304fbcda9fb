//! The refusals that one kind of entry can earn, each with what mends it.

use chrono::TimeDelta;

use super::{Refusal, UNLISTED};
use crate::domain::board::{Board, Ready, check_of};
use crate::domain::clock::{BEFORE_ALL, dated};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Feel, Known, LinenSource, Number, Place, Time};
use crate::domain::facility::Zone;
use crate::domain::need::{Evidence, Need};
use crate::domain::people::Role;
use crate::domain::rule::Rule;
use crate::domain::surface::{NotYet, Source, Surface};
use crate::domain::tag::no_tag;

/// A specimen is one of this room's findings: the wrong one would stand as the evidence for ever.
pub(super) fn finding_refusal(board: &Board, entry: &Entry, finding: Number) -> Result<(), Refusal> {
    let rooms = board.rooms_of(&entry.place);
    let there: Vec<Number> =
        rooms.iter().filter_map(|code| board.room(*code)).flat_map(crate::domain::board::Room::findings).collect();
    if there.contains(&finding) {
        return Ok(());
    }
    let room = rooms.first().map(Code::to_string).unwrap_or_default();
    let list: Vec<String> = there.iter().rev().map(Number::to_string).collect();
    let text = match list.is_empty() {
        true => format!("entry {finding} is no finding of room {room}, which has none: note what was found first"),
        false => format!("entry {finding} is no finding of room {room}: its findings are {}", list.join(", ")),
    };
    let refusal = Refusal::new(Rule::Target, text);
    Err(if list.is_empty() { refusal.mended_by("finding") } else { refusal })
}

/// A tag stands for one thing on its way, and the entry names every room that it closes.
pub(super) fn thing_refusal(
    board: &Board,
    entry: &Entry,
    tag: &str,
    zones: &[Zone],
    to: Option<Code>,
) -> Result<(), Refusal> {
    if tag.trim().is_empty() {
        return Err(Refusal::new(Rule::Receiving, "say which tag is on it: nothing leaves without one"));
    }
    no_tag_refusal(tag)?;
    let from = entry.place.first_room();
    if to.is_some() && to == from {
        return Err(Refusal::new(Rule::Place, "it cannot leave a room for the same room"));
    }
    if let Some(to) = to.filter(|to| !board.rooms_of(&entry.place).contains(to)) {
        return Err(Refusal::new(Rule::Place, format!("the entry has to name room {to}, where it goes, too")));
    }
    let plan = from.and_then(|code| board.facility().room(code));
    let is_here = |zone: &Zone| {
        let known = board.surfaces_named(from.unwrap_or(zone.part), *zone);
        plan.is_some_and(|plan| plan.zone(*zone).is_some() || board.had_part(plan.code, *zone))
            || known.iter().any(|surface| {
                // Also where it stood there once: an entry names what stood there at its own time.
                let ever = || board.surfaces().rooms_since(*surface, BEFORE_ALL);
                // And a part that the list does not have any more, as long as anything is known of it.
                let is_known = || matches!(surface, Surface::Room { .. }) && board.surfaces().is_known(*surface);
                from.is_some_and(|from| (zone.bed.is_some() || is_known()) && ever().contains(&from))
            })
    };
    match zones.iter().find(|zone| !is_here(zone)) {
        Some(zone) => Err(Refusal::new(Rule::Place, format!("{zone} is no zone of the room that it leaves"))),
        None => Ok(()),
    }
}

/// A word that is no tag tells nothing apart.
pub(super) fn no_tag_refusal(tag: &str) -> Result<(), Refusal> {
    match Code::new(tag) {
        _ if tag.trim().is_empty() => {
            Err(Refusal::new(Rule::Receiving, "say which tag is on it: nothing is told apart without one"))
        }
        Ok(code) if no_tag(code) == Some("is no tag") => {
            let text = format!("“{}” is no tag: nothing is told apart by it", tag.trim());
            Err(Refusal::new(Rule::Receiving, text))
        }
        _ => Ok(()),
    }
}

/// A part of a bed is named in a room in which that bed may have stood: else the entry would close a room that its place leaves
/// out, and its unreadable line would not.
pub(super) fn bed_part_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let damp =
        |zones: &[(Zone, Feel)]| zones.iter().filter(|(_, feel)| *feel == Feel::Damp).map(|(zone, _)| *zone).collect();
    let named: Vec<Zone> = match &entry.body {
        Body::Sprayed { zones, .. } | Body::SprayCompleted { zones, .. } => zones.iter().flatten().copied().collect(),
        Body::EnteredWet { wiped, .. } => wiped.clone(),
        Body::DryChecked { zones, .. } | Body::SecondChecked { zones, .. } => damp(zones),
        _ => return Ok(()),
    };
    let rooms = board.rooms_of(&entry.place);
    // What a spray was said to have wet is no news of it.
    let is_known = |zone: &Zone| match &entry.body {
        Body::SprayCompleted { spray, .. } => rooms.iter().any(|room| {
            let named = board.surfaces_named(*room, *zone);
            board.surfaces().spray(*room, *spray).is_some_and(|it| named.iter().any(|part| it.has_wetted(*part)))
        }),
        _ => false,
    };
    let stood_here = |zone: &Zone| {
        zone.bed.is_none()
            || is_known(zone)
            || rooms.iter().any(|room| {
                let surfaces = board.surfaces_named(*room, *zone);
                surfaces.into_iter().any(|it| board.surfaces().rooms_since(it, BEFORE_ALL).contains(room))
            })
    };
    match named.iter().find(|zone| !stood_here(zone)) {
        Some(zone) => {
            let bed = zone.bed.map(|bed| bed.to_string()).unwrap_or_default();
            let text = format!("bed {bed} never stood here by what is noted: note first that it came, then {zone}");
            Err(Refusal::new(Rule::Place, text).mended_by("thing-left"))
        }
        None => Ok(()),
    }
}

/// The place names the room of every bed, so that an unreadable line closes them all.
pub(super) fn beds_of_place(board: &Board, entry: &Entry, beds: &[Code]) -> Result<(), Refusal> {
    let rooms = board.rooms_of(&entry.place);
    let is_here = |bed: &Code| board.facility().room_of_bed(*bed).is_some_and(|room| rooms.contains(&room.code));
    match beds.iter().find(|bed| !is_here(bed)) {
        Some(bed) => Err(Refusal::new(Rule::Place, format!("there is no bed {bed} here"))),
        None => Ok(()),
    }
}

/// A bed that the change would take off a room which still waits for it: nobody could ever make it then.
pub(super) fn beds_taken_away(board: &Board, entry: &Entry, beds: &[crate::domain::facility::Bed]) -> Option<Code> {
    let room = board.room(entry.place.first_room()?)?;
    let waits = room.evidence().into_iter().filter_map(|evidence| match evidence.need {
        Need::Made(bed) => Some(bed),
        _ => None,
    });
    waits.into_iter().find(|bed| beds.iter().all(|kept| kept.code != *bed))
}

pub(super) fn spray_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let Body::Sprayed { product, finished, patient_inside, .. } = &entry.body else { return Ok(()) };
    // What was sprayed with something else is noted as unlisted: it has no label words, so no dry check counts yet.
    let listed = board.products().get(product).is_some_and(|p| !p.withdrawn);
    if !listed && !product.as_str().eq_ignore_ascii_case(UNLISTED) {
        let text = format!(
            "{product} is not on the hospital's list of products: the lead adds it with its label's words, or note it as {UNLISTED}"
        );
        return Err(Refusal::new(Rule::Label, text).mended_by("set-product"));
    }
    if finished.is_some_and(|at| at < entry.happened) {
        return Err(Refusal::new(Rule::Future, "the spraying ended before it began: correct one of the two times"));
    }
    if finished.is_some_and(|at| at > entry.noted) {
        return Err(Refusal::new(
            Rule::Future,
            "the spraying ends in the future: leave its end out and supply it afterwards",
        ));
    }
    if *patient_inside == Known::Yes {
        return Ok(());
    }
    for code in board.rooms_of(&entry.place) {
        let ended = finished.unwrap_or(entry.noted);
        // Also in a bed that was rolled here. Where it may stand elsewhere as well, the spray asks for its linens.
        let beds = board.surfaces().beds_between(code, (entry.happened, ended));
        let used = |bed: &&Code| {
            let Some(used) = board.bed_use(**bed) else { return false };
            let lay = used.is_occupied() && !board.came_after(**bed, (entry.happened, ended));
            let may_have_lain = used.is_doubtful() && used.doubted.is_some_and(|(_, at)| at <= ended);
            let is_here = board.surfaces().bed_rooms(**bed) == [code];
            is_here && (lay || may_have_lain)
        };
        if let Some(bed) = beds.iter().find(used) {
            let is = match board.bed_use(*bed) {
                Some(used) if used.is_doubtful() => "may be occupied (nobody said in which bed)",
                _ => "is occupied",
            };
            let text =
                format!("bed {bed} {is}: note the patient out first; if it happened with the patient inside, say so");
            return Err(Refusal::new(Rule::PatientInside, text).mended_by("move-patient"));
        }
    }
    Ok(())
}

/// What is planned lies ahead, and not so far that its date must be a slip.
const FURTHEST_DAYS: i64 = 30;

/// A time that is to come: neither over already, nor in another year by a slip of the pen. 30 days are our assumption.
pub(super) fn ahead_refusal(board: &Board, rule: Rule, what: &str, at: Time, entry: &Entry) -> Result<(), Refusal> {
    let (zone, by) = (board.facility().time_zone, entry.happened.min(entry.noted));
    let shown = dated(at, by, zone);
    if at <= by {
        return Err(Refusal::new(rule, format!("{what} {shown}, which is over: type a time that is still to come")));
    }
    if at - by > TimeDelta::days(FURTHEST_DAYS) {
        let text = format!("{what} {shown}, more than {FURTHEST_DAYS} days ahead: type its date anew");
        return Err(Refusal::new(rule, text));
    }
    Ok(())
}

/// What is supplied fits what the spray said.
pub(super) fn completion_refusal(board: &Board, entry: &Entry) -> Result<(), Refusal> {
    let Body::SprayCompleted { spray, finished, patient_inside, reentry_words, reentry_minutes, .. } = &entry.body
    else {
        return Ok(());
    };
    if reentry_words.is_some() && reentry_minutes.is_none() {
        let text = "say the label's minutes with its words, and 0 where it gives none: words alone start no clock";
        return Err(Refusal::new(Rule::Label, text));
    }
    let begun = board.rooms_of(&entry.place).into_iter().find_map(|code| board.room(code)?.knows_spray(*spray));
    let begun = begun.and_then(|spray| Some((spray.number, spray.begun?)));
    if let (Some(end), Some((number, began))) = (finished, begun)
        && *end < began
    {
        let began = board.clock(began);
        let text = format!("the spraying began at {began} (entry {number}), and cannot have ended before that");
        return Err(Refusal::new(Rule::Future, text));
    }
    if *patient_inside == Known::No && board.was_sprayed_over_patient(*spray) {
        let text =
            format!("entry {spray} says that a patient was inside, and that stands: if it is wrong, the lead voids it");
        return Err(Refusal::new(Rule::PatientInside, text));
    }
    Ok(())
}

/// Too early for the label, for a spray whose clock does not run, or of something that is elsewhere.
pub(super) fn dry_refusal(board: &Board, entry: &Entry, began: Time, dry: Vec<Zone>) -> Result<(), Refusal> {
    for code in board.rooms_of(&entry.place) {
        let check = check_of(entry, code, began);
        for zone in &dry {
            let is_tag = board.is_tag_in(code, *zone);
            for surface in board.surfaces_named(code, *zone) {
                // Under its tag a thing is seen wherever somebody feels it.
                let is_elsewhere = !is_tag && !board.surfaces().may_have_been_at(surface, code, began, entry.number);
                if is_elsewhere {
                    return Err(Refusal::new(Rule::Place, where_it_is(board, *zone, surface)));
                }
                let refusal = match board.surfaces().not_yet(surface, &check) {
                    None | Some(NotYet::NotHere | NotYet::NotedSince) => continue,
                    Some(NotYet::Unstated(source)) => unstated(board, source),
                    Some(NotYet::TooEarly(ready, source)) => {
                        let early = too_early(board, *zone, ready, source, entry.terminal_name());
                        let is_far = ready.not_before > board.far(entry.noted);
                        match source {
                            Source::Spray { .. } if is_far => early.mended_by("correct-spray"),
                            Source::Spray { .. } | Source::Touch { .. } => early,
                        }
                    }
                };
                return Err(refusal);
            }
        }
    }
    Ok(())
}

/// A part that is elsewhere by what is noted is worked on there. Under its tag somebody has it before their eyes.
pub(super) fn work_refusal(board: &Board, entry: &Entry, zones: &[Zone]) -> Result<(), Refusal> {
    for code in board.rooms_of(&entry.place) {
        for zone in zones.iter().filter(|zone| !board.is_tag_in(code, **zone)) {
            let surfaces = board.surfaces_named(code, *zone);
            let here = |it: &Surface| board.surfaces().may_have_been_at(*it, code, entry.happened, entry.number);
            let is_elsewhere = |it: &&Surface| board.surfaces().is_moved(**it) && !here(it);
            if let Some(surface) = surfaces.iter().find(is_elsewhere) {
                return Err(Refusal::new(Rule::Place, where_it_is(board, *zone, *surface)));
            }
        }
    }
    Ok(())
}

/// A zone that left is felt where it is.
fn where_it_is(board: &Board, zone: Zone, surface: Surface) -> String {
    let rooms: Vec<String> = board.surfaces().rooms_of(surface).iter().map(Code::to_string).collect();
    let rooms = if rooms.is_empty() { "where it is".to_owned() } else { format!("in {}", rooms.join(" or ")) };
    let tag = board.surfaces().tag_of(surface);
    let journey = tag.and_then(|tag| board.thing(tag.as_str()));
    match (tag, journey) {
        (Some(tag), Some(it)) => {
            let to = it.to.map(|to| format!(" for {to}")).unwrap_or_default();
            format!("{zone} is not here: as {tag} it left {}{to} at {}: feel it {rooms}", it.from, board.clock(it.left))
        }
        _ => format!("{zone} is not here: feel it {rooms}"),
    }
}

/// What the spray left unstated is supplied first, in its own room.
fn unstated(board: &Board, source: Source) -> Refusal {
    let (room, number) = match source {
        Source::Spray { room, number } => (Some(room), number),
        Source::Touch { number, .. } => (None, number),
    };
    let spray = room.and_then(|room| board.surfaces().spray(room, number));
    let mut missing = vec![];
    let need = |need| Evidence { need, cause: number, met_by: None, instead: false };
    missing.extend(spray.filter(|spray| spray.ended.is_none()).map(|_| need(Need::FinishNamed)));
    missing.extend(spray.filter(|spray| spray.label.is_none()).map(|_| need(Need::LabelNamed)));
    let of = room.map(|room| format!(" of room {room}")).unwrap_or_default();
    let text = format!("no clock runs for the spray{of} of entry {number}");
    Refusal { rule: Rule::Unstated, text, missing, mend: Some("complete-spray") }
}

fn too_early(board: &Board, zone: Zone, ready: Ready, source: Source, here: &str) -> Refusal {
    let at = board.clock(ready.not_before.max(ready.after));
    let number = source.number();
    let cause = match source {
        Source::Spray { .. } => "sprayed until then",
        Source::Touch { .. } => "found damp, or wiped, then",
    };
    let is_far = board.surfaces().is_noted_elsewhere(source, here);
    let text = match ready.not_before > ready.after {
        true if is_far => format!(
            "{zone} cannot count as dry before {at}, the label's own minimum and 2 minutes for the clock of another terminal"
        ),
        true => format!("{zone} cannot count as dry before {at}, the label's own minimum"),
        false => {
            format!("{zone} cannot count as dry from a check begun before {at}: it was {cause} (entry {number})")
        }
    };
    Refusal::new(Rule::Label, text)
}

pub(super) fn void_refusal(board: &Board, entry: &Entry, target: Number) -> Result<(), Refusal> {
    let Some(place) = board.place_of(target) else {
        return Err(Refusal::new(Rule::Target, format!("there is no entry {target}")));
    };
    // The room where a spray really was stands behind the rooms of the voided entry.
    let wanted = match (&entry.body, &place) {
        (Body::Voided { really_in: Some(really), .. }, Place::Rooms(rooms)) if !rooms.contains(really) => {
            Place::Rooms(rooms.iter().copied().chain([*really]).collect())
        }
        _ => place.clone(),
    };
    if wanted != entry.place {
        return Err(Refusal::new(Rule::Target, format!("entry {target} is about another place")));
    }
    if let Body::Voided { really_in: Some(really), .. } = &entry.body
        && !board.closed_or_moved(target)
    {
        let text = format!(
            "entry {target} closed no room and moved nothing, so that nothing of it is really in {really}: void it without a room, \
             and note in {really} what was done there"
        );
        return Err(Refusal::new(Rule::Target, text));
    }
    let noter = board.people().get(&entry.noted_by);
    let doer = board.people().get(&entry.done_by);
    let may = |person: Option<&crate::domain::people::Person>| {
        person.is_some_and(|p| matches!(p.role, Role::Lead | Role::InfectionPrevention))
    };
    let is_lead = may(noter) && may(doer);
    let rooms: Vec<Code> = board.rooms_of(&place);
    let rooms = || rooms.iter().filter_map(|code| board.room(*code));
    let is_beyond = |room: &crate::domain::board::Room| room.knows_closer(target).is_some_and(|it| !it.may_be_voided());
    if rooms().any(is_beyond) {
        let text = "a void, a setting, a gap or an unreadable line is not voided: note what happened or the setting again, walk the ward, or attest the entry";
        return Err(Refusal::new(Rule::VoidReach, text));
    }
    if rooms().any(|room| room.knows_closer(target).is_some()) {
        if !is_lead {
            let text =
                "what closed a room is voided only by the housekeeping lead or infection prevention: call one of them";
            return Err(Refusal::new(Rule::VoidReach, text));
        }
        return Ok(());
    }
    // A date that was typed too far ahead cannot be emptied: that one is voided, and the bed still waits to be noted empty.
    let is_held =
        |bed: &crate::domain::board::BedUse| bed.claims_of(target).any(|since| since <= entry.noted || !is_lead);
    if rooms().any(|room| room.beds.values().any(is_held)) {
        return Err(Refusal::new(Rule::VoidReach, "a note of who lies where is put right by the next one: that the bed is empty, or the count of the ward anew (2, then c)")
            .mended_by("empty"));
    }
    let own = rooms().find_map(|room| room.knows_fact(target)).is_none_or(|fact| fact.noted_by == entry.noted_by);
    if !is_lead && !own {
        return Err(Refusal::new(
            Rule::VoidReach,
            "an entry is voided by who noted it, the lead or infection prevention",
        ));
    }
    if !is_lead && rooms().any(|room| room.knows_signature(target)) {
        return Err(Refusal::new(Rule::VoidReach, "a signature is voided by the lead or infection prevention"));
    }
    Ok(())
}

/// The tags that an entry names, each of one bag. How a bag that had such a tag before ended can still be noted.
pub(super) fn tag_refusal(entry: &Entry) -> Result<(), Refusal> {
    let tags: &[Code] = match &entry.body {
        Body::Prepared { bags, .. } | Body::BedMade { linens: LinenSource::Bags(bags), .. } => bags,
        Body::Sprayed { bags: Some(bags), .. } | Body::SprayCompleted { bags: Some(bags), .. } => bags,
        Body::Laundered { bag, .. } => std::slice::from_ref(bag),
        _ => &[],
    };
    match tags.iter().find_map(|tag| Some((tag, no_tag(*tag)?))) {
        Some((tag, why)) => {
            let text = format!("“{tag}” {why}: name each bag by its own tag, as it stands on the bag");
            Err(Refusal::new(Rule::Bags, text))
        }
        None => Ok(()),
    }
}

/// A bag is known by its tag: it must be one that this room sent out.
pub(super) fn bag_refusal(board: &Board, entry: &Entry, bag: Code) -> Result<(), Refusal> {
    let asks =
        |code: &Code| board.room(*code).is_some_and(|room| room.unsettled().any(|c| c.needs.contains(&Need::Bag(bag))));
    let rooms = board.rooms_of(&entry.place);
    if rooms.iter().any(asks) {
        return Ok(());
    }
    let evidence = rooms.iter().flat_map(|code| board.evidence(*code)).filter(|it| it.met_by.is_none());
    let mut out: Vec<String> =
        evidence.filter_map(|it| if let Need::Bag(tag) = it.need { Some(tag.to_string()) } else { None }).collect();
    out.sort();
    out.dedup();
    let lost_tag = match out.is_empty() {
        true => String::new(),
        false => format!("; if it lost its tag, it is one of those outstanding: {}", out.join(", ")),
    };
    let text = format!(
        "no outstanding bag of this room has the tag {bag}{lost_tag}. If it was never noted, note first that it was filled \
         here (preparation, linens bagged), then its load; while nobody knows the room it is from, nothing opens by it"
    );
    Err(Refusal::new(Rule::Bags, text).mended_by("prepare"))
}
