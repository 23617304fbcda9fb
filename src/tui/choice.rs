//! A list from which one thing is chosen: a person of the roster, or a move. The first nine have a number to press.

use ratatui::layout::Position;

use super::ask::Ask;
use super::book::Shelf;
use super::keys::Act;
use super::look::Part;
use super::paint::{Pen, first_seen, width};
use super::world::World;
use crate::domain::board::{Cause, Closer, Occupancy, State, is_offered};
use crate::domain::code::Code;
use crate::domain::moves::{MOVES, Move, MoveKind, On};
use crate::domain::need::{Evidence, Need};
use crate::domain::policy::Setting;
use crate::domain::shown::shown;

const NOT_YOURS: &str = "Nothing of this is your role's to note.";
const NOBODY: &str = "Nobody is on the roster: dryhold note set-person adds a person.";

#[derive(Default)]
pub struct ChoiceList {
    title: String,
    items: Vec<Item>,
    /// What others do: listed only when asked for.
    others: Vec<Item>,
    /// Letters that narrow the list.
    typed: String,
    /// Digits narrow it too, since what it lists has them in its names. None of it has a number to press then.
    digits_narrow: bool,
    chosen: usize,
    /// Said of an empty list.
    nothing: &'static str,
    /// What was wanted when it turned out that somebody had to sign in first.
    pub then: Option<Ask>,
}

pub(super) struct Item {
    text: String,
    remark: String,
    pick: Pick,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Pick {
    Person(Code),
    Ask(Ask),
    /// What is for other roles too.
    Others,
    /// A part of the hospital's own book.
    Shelf(Shelf),
}

impl Item {
    pub(super) fn new(text: &str, remark: String, pick: Pick) -> Self {
        Self { text: text.to_owned(), remark, pick }
    }
}

impl ChoiceList {
    /// It asks who is at the keyboard.
    fn is_of_people(&self) -> bool {
        self.items.iter().any(|item| matches!(item.pick, Pick::Person(_)))
    }

    /// It asks that, and nobody has said so yet by a letter.
    pub(super) fn asks_who(&self) -> bool {
        self.typed.is_empty() && self.is_of_people()
    }

    pub(super) fn of(title: &str, items: Vec<Item>) -> Self {
        Self { title: title.to_owned(), items, ..Self::default() }
    }

    /// What is listed has digits in its names.
    pub(super) fn with_codes(title: &str, items: Vec<Item>) -> Self {
        Self { digits_narrow: true, ..Self::of(title, items) }
    }

    /// Who is at the keyboard.
    pub fn people(world: &World<'_>, then: Option<Ask>) -> Self {
        let people = world.board.people().values().filter(|person| !person.left);
        let item = |person: &crate::domain::people::Person| Item {
            text: format!("{:<6} {}", person.initials.as_str(), shown(&person.name)),
            remark: match person.pin_hash {
                Some(_) => format!("{}, PIN", person.role.title()),
                None => person.role.title().to_owned(),
            },
            pick: Pick::Person(person.initials),
        };
        let title = match then {
            Some(_) => "Who are you? Then the form opens",
            None => "Who are you?",
        };
        Self { title: title.to_owned(), items: people.map(item).collect(), nothing: NOBODY, then, ..Self::default() }
    }

    /// What can be noted of a room: its next step first, then what this person may do, in the order of the work. What is
    /// for other roles is counted. `begun`: whether there is a draft of it.
    /// `bed`: the one of its beds on whose line the list was asked for.
    pub fn moves(
        world: &World<'_>,
        room: Code,
        bed: Option<Code>,
        person: Option<Code>,
        begun: impl Fn(&Ask) -> bool,
    ) -> Self {
        let board = world.board;
        let next = board.next_step(room, world.now).map(|step| step.verb);
        let who = person.and_then(|code| board.people().get(&code));
        let mut verbs: Vec<&'static Move> =
            MOVES.iter().filter(|mv| is_about_a_room(mv) && is_asked(mv, board)).collect();
        let may = |mv: &Move| who.is_none_or(|who| is_offered(mv.verb, who, world.now, board.policy()));
        verbs.sort_by_key(|mv| Some(mv.verb) != next);
        let evidence = board.evidence(room);
        let (mut items, mut others): (Vec<Item>, Vec<Item>) = (vec![], vec![]);
        for mv in verbs {
            let remark = match (Some(mv.verb) == next, may(mv)) {
                (true, _) => "next step",
                (false, true) if !applies(mv.verb, room, board) => "nothing to do here",
                (false, true) => "",
                (false, false) => "not your role",
            };
            let tags = bags(board, room, mv);
            let asks: Vec<Ask> = match tags.is_empty() {
                true if mv.on == On::Bag => vec![],
                true if mv.verb == "hand-over" => hand_over_places(board, room),
                true if mv.on == On::Bed && bed.is_some() => {
                    bed.map(|bed| Ask::of_bed(bed, mv.verb)).into_iter().collect()
                }
                true => vec![Ask::next(board, room, mv.verb, &evidence)],
                false => {
                    // The same tag may be out from another room as well: then this one is said.
                    tags.into_iter().map(|tag| Ask::of_bag(board, room, tag, mv.verb)).collect()
                }
            };
            for ask in asks {
                let text = match mv.on {
                    On::Bag => format!("{}: bag {}", mv.title, ask.target),
                    On::Bed if bed.is_some() => format!("{}: bed {}", mv.title, ask.target),
                    _ if mv.verb == "hand-over" => format!("{}: {}", mv.title, place_words(board, &ask.target)),
                    _ => mv.title.to_owned(),
                };
                let remark = if begun(&ask) { "begun before" } else { remark };
                let item = Item { text, remark: remark.to_owned(), pick: Pick::Ask(ask) };
                if may(mv) && applies(mv.verb, room, board) { items.push(item) } else { others.push(item) }
            }
        }
        if !others.is_empty() {
            let text = format!("{} more: other roles, or nothing to do here", others.len());
            items.push(Item { text, remark: String::new(), pick: Pick::Others });
        }
        Self { title: format!("Moves of room {room}"), items, others, nothing: NOT_YOURS, ..Self::default() }
    }

    /// What can be noted of one bed: what is said of such a bed most often stands first; what is not this person's to
    /// note is left out.
    pub fn of_bed(world: &World<'_>, bed: Code, person: Option<Code>) -> Self {
        let board = world.board;
        let who = person.and_then(|code| board.people().get(&code));
        let may = |verb: &str| who.is_none_or(|who| is_offered(verb, who, world.now, board.policy()));
        let room = board.facility().room_of_bed(bed).map(|plan| plan.code);
        let unmade = |it: &Evidence| it.met_by.is_none() && it.need == Need::Made(bed);
        let to_make = room.is_some_and(|room| board.evidence(room).iter().any(unmade));
        let occupancy = board.occupancy(bed, world.now);
        let promised = room.and_then(|room| board.room(room)).and_then(|room| room.beds.get(&bed)?.promised);
        let promise = if promised.is_some() { "end-promise" } else { "promise" };
        let mut verbs = match occupancy {
            Occupancy::Occupied | Occupancy::Unknown => vec!["empty", "occupied", "make-bed", promise],
            Occupancy::Empty => vec!["occupied", "empty", promise, "make-bed"],
        };
        if to_make && occupancy == Occupancy::Empty {
            verbs.rotate_right(1);
        }
        verbs.retain(|verb| may(verb));
        let mut items: Vec<Item> = verbs
            .into_iter()
            .map(|verb| Item {
                text: match (verb, occupancy) {
                    ("occupied", Occupancy::Occupied) => "A patient is still in it",
                    ("occupied", _) => "A patient is in it",
                    ("empty", Occupancy::Empty) => "It is still empty",
                    ("empty", _) => "It is empty",
                    ("promise", _) => "Promise it to somebody who is expected",
                    ("end-promise", _) => "It is promised to nobody any more",
                    _ => "It was made",
                }
                .to_owned(),
                remark: String::new(),
                pick: Pick::Ask(Ask::of_bed(bed, verb)),
            })
            .collect();
        if let Some(room) = room.filter(|_| may("finding")) {
            items.push(Item {
                text: "A bug or a sign of one was seen in its room".to_owned(),
                remark: String::new(),
                pick: Pick::Ask(Ask::of_room(board, room, "finding")),
            });
        }
        Self { title: format!("Bed {bed}"), items, nothing: NOT_YOURS, ..Self::default() }
    }

    /// Lists what is for other roles too.
    pub fn show_others(&mut self) {
        self.items.retain(|item| item.pick != Pick::Others);
        self.items.append(&mut self.others);
    }

    /// What the letters typed leave: what begins with them, then whatever has a word that does. Letters look through what
    /// is for other roles as well, so that nobody who types a name lands in another move.
    fn listed(&self) -> Vec<&Item> {
        if self.typed.is_empty() {
            return self.items.iter().collect();
        }
        let begins = |text: &str| text.to_lowercase().starts_with(&self.typed);
        let words = |text: &str| -> Vec<String> {
            text.to_lowercase().split(|c: char| !c.is_alphanumeric()).map(str::to_owned).collect()
        };
        let typed: Vec<String> = words(&self.typed).into_iter().filter(|word| !word.is_empty()).collect();
        // Each word that was typed begins one.
        let has_word = |item: &&Item| {
            let of_item = words(&item.text);
            !typed.is_empty() && typed.iter().all(|typed| of_item.iter().any(|word| word.starts_with(typed)))
        };
        let named = |item: &&Item| item.pick != Pick::Others;
        let all = || self.items.iter().chain(&self.others).filter(named);
        let first = all().filter(|item| begins(&item.text));
        first.chain(all().filter(|item| !begins(&item.text)).filter(has_word)).collect()
    }

    pub fn act(&mut self, act: Act) -> Option<Pick> {
        let last = self.listed().len().saturating_sub(1);
        match act {
            Act::Go => return self.listed().get(self.chosen).map(|item| item.pick.clone()),
            Act::Number(number) if self.digits_narrow => {
                return self.act(Act::Type(char::from(b'0'.saturating_add(number))));
            }
            // Where it was not asked for by itself, a figure that was meant for the form below makes nobody somebody else.
            Act::Number(number) if self.is_of_people() && self.then.is_some() => {
                self.chosen = usize::from(number).saturating_sub(1).min(last)
            }
            Act::Number(number) => {
                let at = usize::from(number).saturating_sub(1);
                return self.listed().get(at).map(|item| item.pick.clone());
            }
            Act::Type(c) => {
                self.typed.extend(c.to_lowercase());
                self.chosen = 0;
            }
            Act::Erase => {
                self.typed.pop();
                self.chosen = 0;
            }
            Act::Up => self.chosen = self.chosen.saturating_sub(1),
            Act::Down => self.chosen = (self.chosen + 1).min(last),
            Act::PageUp => self.chosen = self.chosen.saturating_sub(10),
            Act::PageDown => self.chosen = (self.chosen + 10).min(last),
            Act::First => self.chosen = 0,
            Act::Last => self.chosen = last,
            _ => {}
        }
        None
    }

    pub fn paint(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let lines = u16::try_from(self.items.len()).unwrap_or(u16::MAX).saturating_add(2).max(3);
        let wide = self
            .items
            .iter()
            .chain(&self.others)
            .map(|item| width(&item.text) + width(&item.remark))
            .max()
            .unwrap_or(0);
        let title = match self.typed.is_empty() {
            true => self.title.clone(),
            false => format!("{}: {}_", self.title, self.typed.to_uppercase()),
        };
        let listed = self.listed();
        let hidden = !listed.is_empty() && listed.len() > usize::from(pen.height().saturating_sub(2));
        let place = if hidden { format!(", {} of {}", self.chosen + 1, listed.len()) } else { String::new() };
        let mut inner = pen.popup(wide.saturating_add(12).max(44), lines, &format!("{title}{place}"));
        if self.items.is_empty() {
            inner.put(1, 0, self.nothing, Part::Plain);
        }
        if listed.is_empty() && !self.typed.is_empty() {
            inner.put(1, 0, "Nothing begins so. Backspace takes a letter back.", Part::Plain);
        }
        let first = first_seen(self.chosen, listed.len(), usize::from(inner.height()));
        let mut cursor = None;
        for (y, (at, item)) in (0..inner.height()).zip(listed.into_iter().enumerate().skip(first)) {
            let mark = if at == self.chosen { '>' } else { ' ' };
            let number = if at < 9 && !self.digits_narrow { format!("{} ", at + 1) } else { "  ".to_owned() };
            let x = inner.put(0, y, &format!("{mark}{number}"), Part::Key);
            inner.put(x + 1, y, &item.text, Part::Plain);
            inner.put_right(y, &format!("{} ", item.remark), Part::Plain);
            if at == self.chosen {
                inner.mark_line(y, Part::Chosen);
                cursor = inner.at(0, y);
            }
        }
        cursor
    }
}

/// Which file is the ledger is said only where that is the question.
fn is_asked(mv: &Move, board: &crate::domain::board::Board) -> bool {
    mv.verb != "which-ledger" || !board.other_files().is_empty()
}

fn is_about_a_room(mv: &Move) -> bool {
    mv.kind != MoveKind::Setting && matches!(mv.on, On::Room | On::Bed | On::Bag | On::Ward | On::Place | On::Hospital)
}

/// Whether the room has what such a move is about. It is a help to find one's way, and refuses nothing.
fn applies(verb: &str, code: Code, board: &crate::domain::board::Board) -> bool {
    let Some(room) = board.room(code) else { return true };
    let unsettled = |wanted: fn(&Closer) -> bool| room.unsettled().any(wanted);
    let lacks = |wanted: fn(&Need) -> bool| {
        board.evidence(code).iter().any(|evidence| evidence.met_by.is_none() && wanted(&evidence.need))
    };
    let promised = |wanted: bool| {
        let plan = board.facility().room(code);
        let is = |bed: Code| room.beds.get(&bed).is_some_and(|used| used.promised.is_some());
        plan.is_some_and(|plan| plan.beds.iter().any(|bed| is(bed.code) == wanted))
    };
    match verb {
        "complete-spray" => unsettled(|closer| closer.cause.is_treatment()),
        "dry-check" => lacks(|need| matches!(need, Need::Dry(_))),
        "entered-wet" => unsettled(|closer| closer.cause.is_treatment()),
        "return" => room.returnable().next().is_some(),
        "second-check" => board.policy().is_on(Setting::SecondSignature) && room.returnable().next().is_some(),
        "promise" => promised(false),
        "end-promise" => promised(true),
        "clear" => room.state() == State::Monitoring,
        "patient-stays" => room.state() == State::Confirmed,
        "nothing-applied" => unsettled(|closer| closer.cause.is_preparation()),
        "in-service" => unsettled(|closer| closer.cause == Cause::OutOfService),
        "look" => unsettled(|closer| closer.voided.is_some()),
        "clock" => board.open_clocks().next().is_some(),
        "correct-spray" => room.closers().iter().any(|closer| closer.cause == Cause::Spray),
        "wrong-time" => unsettled(Closer::is_of_wrong_clock),
        "attest" => board.everywhere().next().is_some() || lacks(|need| matches!(need, Need::Attested(_))),
        "second-attest" => {
            board.everywhere().next().is_some()
                || unsettled(|closer| matches!(closer.cause, Cause::Damage { .. })) && lacks_two(board, code)
        }
        _ => true,
    }
}

/// Something of the room was damaged that is more than one room's, so that two people say what it was.
fn lacks_two(board: &crate::domain::board::Board, room: Code) -> bool {
    board.evidence(room).iter().any(|it| match it.need {
        Need::Attested(number) => it.met_by.is_none() && board.is_attested_by_two(number),
        _ => false,
    })
}

/// The bags that this room still waits for, for a move that is about one.
/// What is handed over is about the room, its ward or the house: whoever writes it says which.
fn hand_over_places(board: &crate::domain::board::Board, room: Code) -> Vec<Ask> {
    let ward = board.facility().room(room).map(|plan| plan.ward.to_string());
    let places = [Some(room.to_string()), ward, Some("hospital".to_owned())];
    places.into_iter().flatten().map(|target| Ask { verb: "hand-over", target, known: vec![] }).collect()
}

fn place_words(board: &crate::domain::board::Board, target: &str) -> String {
    match Code::new(target) {
        Ok(code) if board.facility().room(code).is_some() => format!("room {code}"),
        Ok(code) if board.facility().wards.contains_key(&code) => format!("ward {code}"),
        _ => "the whole house".to_owned(),
    }
}

fn bags(board: &crate::domain::board::Board, room: Code, mv: &Move) -> Vec<Code> {
    if mv.on != On::Bag {
        return vec![];
    }
    let mut tags: Vec<Code> = vec![];
    for evidence in board.evidence(room).into_iter().filter(|evidence| evidence.met_by.is_none()) {
        if let Need::Bag(tag) = evidence.need
            && !tags.contains(&tag)
        {
            tags.push(tag);
        }
    }
    tags
}
