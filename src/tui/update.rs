//! What a key, a change of the ledger or an answer of the desk does to the screens. No reading, no writing: what is to be
//! done outside is handed back as effects.

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

use super::app::{App, Confirm, Layer, Yes};
use super::ask::Ask;
use super::base::{Base, Opens};
use super::choice::{ChoiceList, Pick};
use super::form::{Outcome, Wanted};
use super::keys::{Act, Context};
use super::line::{Purpose, Typed, TypedLine};
use super::page::Page;
use super::room::{Chosen, RoomScreen};
use super::world::World;
use crate::domain::code::Code;
use crate::domain::decide::Refusal;
use crate::domain::entry::{Body, Entry, Number};
use crate::domain::shown::shown;

pub enum Msg {
    Key(KeyEvent),
    Paste(String),
    Resized(u16, u16),
    /// The ledger or the minute changed.
    Changed,
    Noted(Noted),
    PinChecked {
        person: Code,
        right: bool,
        then: Option<Ask>,
    },
    /// Something to say that no key asked for.
    Say(String),
}

/// The desk's answer.
pub enum Noted {
    Done {
        number: Number,
        sentence: String,
    },
    Refused(Box<Refusal>),
    /// It may or may not be on the disk; it is tried again, never twice.
    Unsure(String),
    Failed(String),
}

#[derive(Debug, PartialEq)]
pub enum Effect {
    Note {
        wanted: Box<Wanted>,
        person: Code,
    },
    CheckPin {
        person: Code,
        pin: String,
        then: Option<Ask>,
    },
    /// Draw everything again: something else wrote on the terminal.
    Redraw,
    Quit,
}

pub fn update(app: &mut App, world: &World<'_>, msg: Msg) -> Vec<Effect> {
    match msg {
        Msg::Key(key) => return key_pressed(app, world, key),
        Msg::Paste(text) => paste(app, &text),
        Msg::Resized(width, height) => {
            (app.width, app.height) = (width, height);
            app.lay_out(world);
        }
        Msg::Changed => app.refresh(world),
        Msg::Noted(answer) => noted(app, world, answer),
        Msg::PinChecked { person, right, then } => pin_checked(app, world, person, right, then.as_ref()),
        Msg::Say(text) => app.said = shown(&text),
    }
    vec![]
}

fn key_pressed(app: &mut App, world: &World<'_>, key: KeyEvent) -> Vec<Effect> {
    if key.kind == KeyEventKind::Release {
        return vec![];
    }
    let control = key.modifiers.contains(KeyModifiers::CONTROL);
    match key.code {
        KeyCode::Char('c' | 'C') if control => {
            if std::mem::replace(&mut app.leaving, true) {
                return vec![Effect::Quit];
            }
            app.said =
                "Press Ctrl-C once more to leave. What is noted stays noted; what is only typed is lost.".to_owned();
            return vec![];
        }
        KeyCode::Char('z' | 'Z') if control => {
            app.said = "Ctrl-Z does not stop the board: a stopped one would look alive. q leaves it.".to_owned();
            return vec![];
        }
        _ => {}
    }
    app.leaving = false;
    let Some(act) = app.context().act(key) else { return vec![] };
    if app.is_too_small() && !matches!(act, Act::Leave | Act::Redraw) {
        // What cannot be seen must not be answered.
        return vec![];
    }
    app.said.clear();
    act_on(app, world, act)
}

fn act_on(app: &mut App, world: &World<'_>, act: Act) -> Vec<Effect> {
    if let Some(done) = act_anywhere(app, world, act) {
        return done;
    }
    match app.layers.last_mut() {
        None => act_on_base(app, world, act),
        Some(Layer::Room(_)) => act_on_room(app, world, act),
        Some(Layer::Form(form)) => {
            let outcome = form.act(act, world);
            return form_outcome(app, world, outcome);
        }
        Some(Layer::Choice(list)) => {
            if act == Act::Back {
                app.layers.pop();
            } else if let Some(pick) = list.act(act) {
                let then = list.then.take();
                app.layers.pop();
                return picked(app, world, pick, then);
            }
        }
        Some(Layer::Line(line)) => {
            if act == Act::Back {
                app.layers.pop();
                return vec![];
            }
            let purpose = line.purpose.clone();
            match (line.act(act, &app.survey), purpose) {
                (Some(Typed::Room(room)), _) => {
                    app.layers.pop();
                    jump(app, world, room);
                }
                (Some(Typed::Entry(text)), _) => {
                    app.layers.pop();
                    app.said = app.ledger.find(&text, world, &app.survey);
                    app.lay_out(world);
                }
                (Some(Typed::Pin(pin)), Purpose::Pin { person, then }) => {
                    return vec![Effect::CheckPin { person, pin, then }];
                }
                _ => {}
            }
        }
        Some(Layer::Confirm(_)) => match (act, app.layers.pop()) {
            (Act::Yes, Some(Layer::Confirm(confirm))) => {
                return match (confirm.yes, app.person) {
                    (Yes::Note(wanted), Some(person)) => vec![Effect::Note { wanted, person }],
                    (Yes::Note(_), None) => vec![],
                    (Yes::Leave, _) => vec![Effect::Quit],
                };
            }
            _ => app.said = "Nothing was done.".to_owned(),
        },
        Some(Layer::Page(page)) => {
            if act == Act::Back {
                app.layers.pop();
            } else if act == Act::Look {
                if let Some(room) = page.rooms.first().copied() {
                    app.layers.pop();
                    open_room(app, world, room);
                }
            } else {
                page.act(act);
            }
        }
    }
    vec![]
}

/// Keys that mean the same wherever they mean anything.
fn act_anywhere(app: &mut App, world: &World<'_>, act: Act) -> Option<Vec<Effect>> {
    match act {
        Act::Help => app.layers.push(Layer::Page(Page::help(app.context()))),
        Act::Redraw => return Some(vec![Effect::Redraw]),
        Act::Turn(base) => app.turn(base, world),
        Act::NextScreen => app.turn(app.base.further(1), world),
        Act::PreviousScreen => app.turn(app.base.further(Base::ALL.len() - 1), world),
        Act::Jump => app.layers.push(Layer::Line(TypedLine::new(Purpose::Find))),
        Act::SignIn => app.layers.push(Layer::Choice(ChoiceList::people(world, None))),
        Act::SignOut => {
            app.person = None;
            app.refresh(world);
            app.said = "Signed out. Anyone may look; s signs in.".to_owned();
        }
        Act::Moves => {
            if let Some(room) = app.chosen_room() {
                app.layers.push(Layer::Choice(ChoiceList::moves(world, room, app.person)));
            }
        }
        Act::Next => next_step(app, world),
        Act::Seen => {
            if let Some(room) = app.chosen_room() {
                app.open_form(&Ask::of_room(world.board, room, "finding"), world);
            }
        }
        Act::Undo => undo(app, world),
        Act::Leave if app.has_unsaved() => app.layers.push(Layer::Confirm(Confirm {
            question: "Leave? A form with something typed in it is not noted, and would be lost.".to_owned(),
            yes: Yes::Leave,
        })),
        Act::Leave => return Some(vec![Effect::Quit]),
        _ => return None,
    }
    Some(vec![])
}

fn act_on_base(app: &mut App, world: &World<'_>, act: Act) {
    match act {
        Act::Go => {
            let opens = app.screen().enter(world, &app.survey);
            open(app, world, opens);
        }
        Act::Look => {
            if let Some(room) = app.chosen_room() {
                open_room(app, world, room);
            }
        }
        Act::Take => match app.tasks.take(&app.survey) {
            Ok(ask) => app.open_form(&ask, world),
            Err(why) => why.clone_into(&mut app.said),
        },
        Act::ConfirmBeds => confirm_beds(app, world),
        Act::Otherwise => match app.bags.otherwise(world) {
            Some(ask) => app.open_form(&ask, world),
            None => "There is no bag here that is out.".clone_into(&mut app.said),
        },
        Act::Find => app.layers.push(Layer::Line(TypedLine::new(Purpose::Entry))),
        Act::Void => match app.ledger.void(world) {
            Ok(ask) => app.open_form(&ask, world),
            Err(why) => app.said = why,
        },
        _ => app.walk(act, world),
    }
}

/// The form that confirms who lies in the beds of the chosen ward.
fn confirm_beds(app: &mut App, world: &World<'_>) {
    if !app.offered.contains("occupancy") {
        app.said = "Confirming a ward's beds is for a charge nurse or the lead.".to_owned();
    } else if let Some(ward) = app.beds.ward(&app.survey) {
        let ask = Ask { verb: "occupancy", target: ward.to_string(), known: vec![] };
        app.open_form(&ask, world);
    }
}

fn open(app: &mut App, world: &World<'_>, opens: Opens) {
    match opens {
        Opens::Nothing => {}
        Opens::NextStep(room) => {
            if app.person.is_some() && app.own_step().is_some() {
                next_step(app, world);
            } else {
                open_room(app, world, room);
            }
        }
        Opens::Form(ask) => app.open_form(&ask, world),
        Opens::Bed(bed) => app.layers.push(Layer::Choice(ChoiceList::of_bed(world, bed, app.person))),
        Opens::Folds => app.walk(Act::Go, world),
        Opens::Page(page) => app.layers.push(Layer::Page(page)),
    }
}

fn act_on_room(app: &mut App, world: &World<'_>, act: Act) {
    let Some(Layer::Room(room)) = app.layers.last_mut() else { return };
    if act == Act::Back {
        app.layers.pop();
        return;
    }
    if act != Act::Go {
        let another = room.walk(act, &app.survey);
        let code = room.code;
        if another {
            app.lay_out_rooms(world);
        }
        app.choose(code, world);
        return;
    }
    let code = room.code;
    match room.chosen(world) {
        None => app.layers.push(Layer::Choice(ChoiceList::moves(world, code, app.person))),
        Some(Chosen::Form(ask)) => app.open_form(&ask, world),
        Some(Chosen::Bed(at)) => {
            let person = app.person;
            let bed = app.survey.room(code).and_then(|line| line.beds.get(at)).map(|bed| bed.code);
            app.layers.extend(bed.map(|bed| Layer::Choice(ChoiceList::of_bed(world, bed, person))));
        }
        Some(Chosen::Page(page)) => app.layers.push(Layer::Page(page)),
    }
}

fn next_step(app: &mut App, world: &World<'_>) {
    let Some(code) = app.chosen_room() else { return };
    let evidence = world.board.evidence(code);
    match world.board.next_step(code, world.now) {
        Some(step) => app.open_form(&Ask::next(world.board, code, step.verb, &evidence), world),
        None => app.said = format!("Nothing is asked of {code} now. m lists the moves."),
    }
}

/// The form that voids what the person signed in noted last, where it still can be.
fn undo(app: &mut App, world: &World<'_>) {
    let Some(person) = app.person else {
        app.said = "Nobody is signed in: s signs in. u undoes what you noted last.".to_owned();
        return;
    };
    match own_last(person, world) {
        Some(entry) => {
            let ask = Ask::void(entry);
            app.open_form(&ask, world);
        }
        None => app.said = "There is no entry of yours to undo.".to_owned(),
    }
}

/// The newest entry that this person noted, if it is one that can be voided.
fn own_last<'a>(person: Code, world: &World<'a>) -> Option<&'a Entry> {
    let newest = world.entries.iter().rev().find(|entry| entry.noted_by == person)?;
    let kept = matches!(newest.body, Body::Voided { .. }) || newest.body.is_setting();
    (!kept).then_some(newest)
}

fn open_room(app: &mut App, world: &World<'_>, room: Code) {
    app.layers.push(Layer::Room(Box::new(RoomScreen::new(room))));
    app.lay_out_rooms(world);
}

/// From the jump line: the room is chosen where one is, and opened.
fn jump(app: &mut App, world: &World<'_>, room: Code) {
    app.choose(room, world);
    if matches!(app.layers.last(), Some(Layer::Room(_))) {
        app.layers.pop();
    }
    open_room(app, world, room);
}

fn picked(app: &mut App, world: &World<'_>, pick: Pick, then: Option<Ask>) -> Vec<Effect> {
    match pick {
        Pick::Ask(ask) => app.open_form(&ask, world),
        Pick::Person(person) => {
            let has_pin = world.board.people().get(&person).is_some_and(|it| it.pin_hash.is_some());
            if has_pin {
                app.layers.push(Layer::Line(TypedLine::new(Purpose::Pin { person, then })));
            } else {
                app.sign_in(person, world);
                if let Some(ask) = then {
                    app.open_form(&ask, world);
                }
            }
        }
    }
    vec![]
}

fn pin_checked(app: &mut App, world: &World<'_>, person: Code, right: bool, then: Option<&Ask>) {
    let Some(Layer::Line(line)) = app.layers.last_mut() else { return };
    if !right {
        line.wrong();
        return;
    }
    app.layers.pop();
    app.sign_in(person, world);
    if let Some(ask) = then {
        app.open_form(ask, world);
    }
}

fn form_outcome(app: &mut App, world: &World<'_>, outcome: Outcome) -> Vec<Effect> {
    match outcome {
        Outcome::Stays => {}
        Outcome::Closes => {
            if let Some(Layer::Form(form)) = app.layers.pop()
                && form.is_touched()
            {
                app.said = "Closed, nothing noted. What you typed is kept: opening it again brings it back.".to_owned();
                app.drafts.push(*form);
            }
        }
        Outcome::Opens(ask) => app.open_form(&ask, world),
        Outcome::Notes(wanted) => match (&wanted.confirm, app.person) {
            (_, None) => app.layers.push(Layer::Choice(ChoiceList::people(world, None))),
            (Some(question), _) => {
                let question = question.clone();
                app.layers.push(Layer::Confirm(Confirm { question, yes: Yes::Note(wanted) }));
            }
            (None, Some(person)) => return vec![Effect::Note { wanted, person }],
        },
    }
    vec![]
}

fn noted(app: &mut App, world: &World<'_>, answer: Noted) {
    let form = match app.layers.last_mut() {
        Some(Layer::Form(form)) => Some(form),
        _ => None,
    };
    match answer {
        Noted::Done { number, sentence } => {
            if form.is_some() {
                app.layers.pop();
            }
            if let Some(Layer::Room(room)) = app.layers.last_mut() {
                room.choose_next();
            }
            app.refresh(world);
            app.said = format!("Noted, entry {number}: {}", shown(&sentence));
        }
        Noted::Refused(refusal) => match form {
            Some(form) => form.refused(&refusal, world),
            None => app.said = shown(&refusal.to_string()),
        },
        Noted::Unsure(text) => match form {
            Some(form) => form.failed(&format!(
                "It is not sure whether this was written: {text}. Enter tries the same again; it is never noted twice."
            )),
            None => app.said = shown(&text),
        },
        Noted::Failed(text) => match form {
            Some(form) => form.failed(&format!("Nothing was written: {text}")),
            None => app.said = shown(&text),
        },
    }
}

/// A paste is text for a field, never keys.
fn paste(app: &mut App, text: &str) {
    if app.is_too_small() {
        return;
    }
    let taken = match app.layers.last_mut() {
        Some(Layer::Form(form)) => form.paste(text),
        Some(Layer::Line(line)) => {
            line.paste(text, &app.survey);
            true
        }
        _ => false,
    };
    if !taken {
        app.said = "A paste goes only into a field of text.".to_owned();
    }
}

/// What the hint bar offers now: key and what it does.
pub(super) fn hints(app: &App) -> Vec<(&'static str, &'static str)> {
    let context = app.context();
    let mut hints: Vec<(&'static str, &'static str)> =
        context.bindings().filter_map(|binding| Some((binding.shown, binding.hint?))).collect();
    if context == Context::Board {
        // What Enter opens depends on the room, and on who sits here.
        let step = if app.person.is_some() { app.own_step() } else { None };
        hints.retain(|(key, _)| *key != if step.is_some() { "" } else { "Space" });
        if let Some((_, does)) = hints.iter_mut().find(|(key, _)| *key == "Enter") {
            *does = step.map_or("the room", |mv| mv.title);
        }
    }
    let offered = app.person.is_none() || app.offered.contains("occupancy");
    hints.retain(|(_, does)| *does != "confirm beds" || offered);
    if let Some(Layer::Page(page)) = app.layers.last()
        && page.rooms.is_empty()
    {
        hints.retain(|(key, _)| *key != "Space");
    }
    if app.layers.is_empty() || context == Context::Room {
        let signing = if app.person.is_none() { ("s", "sign in") } else { ("o", "sign out") };
        hints.insert(hints.len().min(3), signing);
    }
    hints
}
