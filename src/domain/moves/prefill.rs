//! What is known already when a form opens. Nothing that was to be looked at is ever filled in.

use super::places::{beds_there, room_of_target};
use super::read::once;
use super::settings::{show_bed, show_zone_plan};
use super::time::show_time_to_type;
use super::{Answers, Move, On, ZoneFilter};
use crate::domain::board::{Board, Cause, Closer};
use crate::domain::code::Code;
use crate::domain::entry::{Number, Time};
use crate::domain::facility::{RoomPlan, Zone, ZonePlan, ZoneTreatment};
use crate::domain::floor::m2;
use crate::domain::need::Need;
use crate::domain::policy::Setting;

/// Answers to start from. Zones, beds seen and signs stay open: they are looked at, not assumed.
///
/// `target` is a room, bed, bag, ward or setting code, as the move wants it.
pub fn prefill(mv: &Move, target: Code, board: &Board, now: Time) -> Answers {
    let plan = room_of_target(board, mv.verb, target);
    let Some(plan) = plan.filter(|_| matches!(mv.on, On::Room | On::Bed | On::Place)) else {
        return settings(mv, target, board);
    };
    let mut answers = Answers::new();
    let waits: Vec<(Need, Number)> = board.asked_now(plan.code, now).iter().map(|it| (it.need, it.cause)).collect();
    let first = |wanted: fn(&Need) -> Option<String>| waits.iter().find_map(|(need, _)| wanted(need));
    match mv.verb {
        "identify" => {
            let room = board.room(plan.code);
            let finding = |c: &&Closer| matches!(c.cause, Cause::Suspicion { .. } | Cause::Confirmed);
            let open = room.and_then(|room| room.unsettled().filter(finding).map(|c| c.number).max());
            // In monitoring a mark suspects nothing, and its specimen can be identified all the same.
            let newest = open.or_else(|| room.and_then(|room| room.findings().into_iter().max()));
            answers.set("finding", newest.map(|number| number.to_string()));
        }
        "spray" => {
            let mut offered = board.products().values().filter(|product| !product.withdrawn);
            if let (Some(only), None) = (offered.next(), offered.next()) {
                answers.set("product", [only.code.as_str()]);
            }
            answers.set("bags", bags(&waits));
        }
        "complete-spray" => {
            let is_asked = |by: Number| waits.iter().any(|(need, cause)| need.is_unstated() && *cause == by);
            let unstated = board.room(plan.code).map(|room| room.unstated()).unwrap_or_default();
            let spray = unstated.into_iter().filter(|(by, _)| is_asked(*by)).map(|(_, spray)| spray).max();
            answers.set("spray", spray.map(|number| number.to_string()));
        }
        "correct-spray" => {
            // What was said of it first is not shown to the second person; which spray it was is.
            let said = board.less_said_of(plan.code).map(|(spray, _)| spray);
            let sprays = board.room(plan.code).into_iter().flat_map(|room| room.closers());
            let newest = sprays.filter(|closer| closer.cause == Cause::Spray).map(|closer| closer.number).max();
            answers.set("spray", said.or(newest).map(|number| number.to_string()));
        }
        "make-bed" => {
            let to_make = first(|need| if let Need::Made(bed) = need { Some(bed.to_string()) } else { None });
            // The target may name its bed already.
            answers.set("bed", to_make.filter(|_| beds_there(board, plan).len() > 1 && plan.code == target));
            answers.set("bags", laundered(board, plan));
        }
        "in-service" => {
            answers
                .set("closing", first(|need| if let Need::InService(it) = need { Some(it.to_string()) } else { None }));
        }
        "look" => {
            answers.set("void", first(|need| if let Need::Looked(it) = need { Some(it.to_string()) } else { None }));
        }
        "attest" | "second-attest" => {
            let everywhere = || board.everywhere().next().map(|closed| closed.number.to_string());
            let here = first(|need| if let Need::Attested(it) = need { Some(it.to_string()) } else { None });
            answers.set("entry", here.or_else(everywhere));
        }
        "accept" => {
            if let Some(task) = board.tasks_of(plan.code, now).into_iter().find(|task| task.accepted_by.is_none()) {
                answers.set("need", [task.need]);
                answers.set("cause", [task.cause.to_string()]);
            }
        }
        _ => {}
    }
    answers
}

/// The zones that a form of this move lists: those that wait for it, else those that it is usually for. In the order in which
/// one walks the room, what is looked at first before the rest of its group. Whatever is not listed can still be typed.
pub fn zones_offered(mv: &Move, filter: ZoneFilter, room: Code, board: &Board) -> Vec<Zone> {
    let Some(plan) = board.facility().room(room) else { return vec![] };
    let waits = |need: Need| match (mv.verb, need) {
        ("dry-check", Need::Dry(zone)) | ("vacuum", Need::Vacuumed(zone)) | ("treat-zone", Need::Covered(zone)) => {
            Some(zone)
        }
        _ => None,
    };
    let waiting: Vec<Zone> = match mv.verb {
        // Every zone that was ever wet: which of them somebody found dry is not told.
        "second-check" => board.to_check_again(room).0,
        _ => open_needs(board, plan).into_iter().filter_map(|(need, _)| waits(need)).collect(),
    };
    // What was felt here and may stand elsewhere as well waits for that.
    let to_feel = board.room(room).map(|it| it.dryness().to_feel()).unwrap_or_default();
    let is_left = |zone: &Zone| mv.verb != "dry-check" || to_feel.contains(zone);
    let waiting: Vec<Zone> = match waiting.iter().any(is_left) {
        true => waiting.into_iter().filter(is_left).collect(),
        false => waiting,
    };
    let usual = |it: &ZonePlan| match filter {
        ZoneFilter::All => true,
        ZoneFilter::Sprayable => it.treatment == ZoneTreatment::Spray,
        ZoneFilter::OtherMethod => it.treatment == ZoneTreatment::OtherMethod,
        ZoneFilter::SoftSeats => it.soft_seat,
    };
    let dryness = board.room(room).map(crate::domain::board::Room::dryness);
    let is_away = |zone: Zone| dryness.is_some_and(|it| it.is_away(zone));
    let listed = |(zone, it): &&(Zone, ZonePlan)| match waiting.is_empty() {
        true => usual(it) && !is_away(*zone),
        false => waiting.contains(zone),
    };
    // What stands there and may have been sprayed or wiped as well.
    let guests = match mv.verb {
        "spray" | "complete-spray" | "entered-wet" => board.guests_named(room),
        _ => vec![],
    };
    let beyond = waiting.iter().copied().chain(guests).filter(|zone| plan.zone(*zone).is_none());
    let mut zones: Vec<Zone> =
        plan.zones.iter().filter(listed).map(|(zone, _)| *zone).chain(once(beyond.collect())).collect();
    let bed_at = |zone: &Zone| {
        zone.bed.map_or(usize::MAX, |bed| plan.beds.iter().position(|it| it.code == bed).unwrap_or(usize::MAX))
    };
    zones.sort_by_key(|zone| {
        let it = plan.zone(*zone);
        (it.is_none(), bed_at(zone), it.map(|it| it.group), it.is_some_and(|it| !it.critical))
    });
    zones
}

/// Unmet needs of the room, each with the entry that asks.
fn open_needs(board: &Board, plan: &RoomPlan) -> Vec<(Need, Number)> {
    let unmet = board.evidence(plan.code).into_iter().filter(|it| it.met_by.is_none());
    unmet.map(|it| (it.need, it.cause)).collect()
}

fn bags(needs: &[(Need, Number)]) -> Vec<String> {
    let tags =
        needs.iter().filter_map(|(need, _)| if let Need::Bag(tag) = need { Some(tag.to_string()) } else { None });
    once(tags.collect())
}

/// Bags of the room whose laundering counts.
fn laundered(board: &Board, plan: &RoomPlan) -> Vec<String> {
    let met = board.evidence(plan.code).into_iter().filter(|it| it.met_by.is_some());
    let is_washed = |need: Need| !matches!(need, Need::Bag(tag) if !board.is_bag_washed(tag));
    let all: Vec<(Need, Number)> = met.filter(|it| is_washed(it.need)).map(|it| (it.need, it.cause)).collect();
    bags(&all)
}

/// A setting as it stands, in the words in which it would be typed.
pub(super) fn settings(mv: &Move, target: Code, board: &Board) -> Answers {
    let mut answers = Answers::new();
    let facility = board.facility();
    match mv.verb {
        "set-hospital" => answers.set("name", [facility.name.as_str()]),
        "set-ward" => {
            if let Some(ward) = facility.wards.get(&target) {
                answers.set("name", [ward.name.as_str()]);
                answers.set("floor", [ward.floor.to_string()]);
            }
        }
        "set-room" => {
            if let Some(plan) = facility.room(target) {
                answers.set("name", [plan.name.as_str()]);
                answers.set("ward", [plan.ward.as_str()]);
                answers.set("kind", [plan.kind.as_str()]);
                answers.set("order", [plan.order.to_string()]);
                answers.set("beds", plan.beds.iter().map(show_bed));
                answers.set("neighbours", plan.neighbours.iter().map(|it| format!("{}={}", it.side.word(), it.room)));
                answers.set("serves", plan.serves.iter().map(Code::as_str));
                answers.set("floor-area", plan.floor_dm2.map(|dm2| m2(dm2).to_string()));
            }
        }
        "set-zones" => {
            let plans = facility.zone_sets.get(&target).map(Vec::as_slice).unwrap_or_default();
            answers.set("zones", plans.iter().map(show_zone_plan));
        }
        "set-person" => person(&mut answers, target, board),
        "set-product" => product(&mut answers, target, board),
        "set-policy" => {
            if let Some(setting) = Setting::from_key(target.as_str()) {
                answers.set("value", [board.policy().get(setting).to_string()]);
            }
        }
        _ => {}
    }
    answers
}

fn yes_no(is_so: bool) -> [&'static str; 1] {
    [if is_so { "yes" } else { "no" }]
}

fn person(answers: &mut Answers, target: Code, board: &Board) {
    let Some(person) = board.people().get(&target) else { return };
    answers.set("name", [person.name.as_str()]);
    answers.set("role", [person.role.word()]);
    answers.set("trained-to-inspect", yes_no(person.trained_to_inspect));
    answers.set("trained-to-apply", yes_no(person.trained_to_apply));
    answers.set("certificate", person.certificate.as_deref());
    if let Some((from, until)) = person.acting_lead {
        let zone = board.facility().time_zone;
        answers.set("acting-lead-from", [show_time_to_type(from, zone)]);
        answers.set("acting-lead-until", [show_time_to_type(until, zone)]);
    }
    answers.set("left", yes_no(person.left));
}

fn product(answers: &mut Answers, target: Code, board: &Board) {
    let Some(product) = board.products().get(&target) else { return };
    answers.set("name", [product.name.as_str()]);
    answers.set("registration", product.registration.as_deref());
    answers.set("active-ingredient", product.active_ingredient.as_deref());
    answers.set("percent", product.percent.as_deref());
    answers.set("label-words", product.reentry_words.as_deref());
    answers.set("label-minutes", product.reentry_minutes.map(|minutes| minutes.to_string()));
    answers.set("allowed-on", product.allowed_on.iter().map(Code::as_str));
    answers.set("withdrawn", yes_no(product.withdrawn));
}
