//! What was noted of a form's place while it was begun: it says so, and what was marked before something that closes is no
//! answer any more.

use super::question::{Answer, Question};
use super::{Form, Spot};
use crate::domain::code::Code;
use crate::domain::describe;
use crate::domain::entry::{Body, Entry, Feel, Number, Place};
use crate::domain::moves::{self, MoveKind, On};
use crate::domain::shown::shown;
use crate::tui::world::World;

/// Where a form is about. None: nowhere that changes.
pub(super) fn place_of(form: &Form) -> Option<Place> {
    match (form.room, form.mv.on) {
        (Some(room), _) => Some(Place::room(room)),
        (None, On::Ward) => Code::new(&form.target).ok().map(Place::Ward),
        _ => None,
    }
}

pub(super) fn newest(world: &World<'_>, place: Option<&Place>) -> Number {
    place.map(|place| world.board.newest_of(place)).unwrap_or_default()
}

impl Form {
    /// The board changed. The form stays, and says what happened to its place. True: marks of it were taken away.
    pub fn refresh(&mut self, world: &World<'_>, own: Option<Code>) -> bool {
        self.restate(world);
        let place = place_of(self);
        let newest = newest(world, place.as_ref());
        let (Some(place), true) = (place, newest > self.taken_in) else { return false };
        let own_rooms = world.board.rooms_of(&place);
        let from = world.entries.partition_point(|entry| entry.number <= self.taken_in);
        let touches = |entry: &&Entry| {
            entry.number > self.taken_in
                && !entry.body.is_setting()
                && world.board.rooms_of(&entry.place).iter().any(|room| own_rooms.contains(room))
        };
        let later: Vec<&Entry> = world.entries.get(from..).unwrap_or_default().iter().filter(touches).collect();
        // What one noted oneself, to mend what was missing, is no news.
        let fresh = later.iter().filter(|entry| Some(entry.noted_by) != own);
        let told: Vec<String> = fresh
            .map(|entry| {
                format!(
                    "entry {} by {}: {}",
                    entry.number,
                    entry.noted_by,
                    shown(&describe::sentence(entry, world.board))
                )
            })
            .collect();
        self.changed.extend(told);
        let dropped = self.drop_marks(&later, world);
        self.taken_in = newest;
        self.changed_read = false;
        self.no = None;
        if self.at.question >= self.questions.len() {
            // The line that mended is gone.
            self.at.row = 0;
        }
        dropped
    }

    /// What was looked at or felt before something that closes says nothing of what is there now. What was seen stays.
    fn drop_marks(&mut self, later: &[&Entry], world: &World<'_>) -> bool {
        let meets = matches!(self.mv.kind, MoveKind::Fact | MoveKind::Signature) || self.mv.verb == "inspect";
        let counts = |entry: &&&Entry| closes(&entry.body) || (self.room.is_none() && tells_who_lies(&entry.body));
        let Some(last) = later.iter().rev().find(counts).filter(|_| meets) else { return false };
        let touched: Vec<Code> =
            later.iter().filter(counts).flat_map(|entry| world.board.rooms_of(&entry.place)).collect();
        let facility = world.board.facility();
        let of_room = self.room.is_some();
        // A line of a ward's list is about one room or bed.
        let is_stale = |item: &str| {
            let code = Code::new(item).ok();
            let room = code.and_then(|code| facility.room(code).or_else(|| facility.room_of_bed(code)));
            of_room || room.is_some_and(|room| touched.contains(&room.code))
        };
        let taken: usize = self.questions.iter_mut().map(|question| unmark(question, &is_stale)).sum();
        if taken == 0 {
            return false;
        }
        let now = moves::show_time_to_type(world.now, facility.time_zone);
        if let Some(Question { answer: Answer::Text(input), .. }) =
            self.questions.iter_mut().find(|question| question.name == "began")
        {
            *input = tui_input::Input::new(now);
        }
        let (marks, were) = if taken == 1 { ("1 mark".to_owned(), "was") } else { (format!("{taken} marks"), "were") };
        self.dropped = format!(
            "{marks} here {were} made before entry {} ({}), and {were} taken away: look or feel anew. What you typed stays.",
            last.number,
            shown(describe::sentence(last, world.board).split(':').next().unwrap_or_default())
        );
        self.changed.push(self.dropped.clone());
        self.settle(world);
        if self.at.question >= self.questions.len() {
            self.at = Spot::default();
            self.go_to_first_open();
        }
        true
    }
}

/// Takes the stale marks of a checklist away: how many.
fn unmark(question: &mut Question, is_stale: &dyn Fn(&str) -> bool) -> usize {
    let Answer::List(list) = &mut question.answer else { return 0 };
    list.unmark_where(is_stale)
}

/// It closes, or says that something is not as it was.
fn closes(body: &Body) -> bool {
    match body {
        Body::Inspected { looks, .. } => looks.iter().any(|look| !look.seen.is_empty()),
        Body::DryChecked { zones, .. } => zones.iter().any(|(_, feel)| *feel == Feel::Damp),
        Body::Finding { .. }
        | Body::Identified { .. }
        | Body::PatientOut { .. }
        | Body::PatientMoved { .. }
        | Body::Prepared { .. }
        | Body::Sprayed { .. }
        | Body::SprayCompleted { .. }
        | Body::OutOfService { .. }
        | Body::Occupied { .. }
        | Body::EnteredWet { .. }
        | Body::ThingLeft { .. }
        | Body::ThingArrived { .. }
        | Body::WentBack { .. }
        | Body::EndLost { .. }
        | Body::Downtime { .. }
        | Body::Restored { .. }
        | Body::Unreadable { .. }
        | Body::Voided { .. } => true,
        _ => false,
    }
}

/// It says in which bed a patient lies.
fn tells_who_lies(body: &Body) -> bool {
    matches!(
        body,
        Body::Occupied { .. } | Body::Emptied { .. } | Body::OccupancyConfirmed { .. } | Body::PatientMoved { .. }
    )
}
