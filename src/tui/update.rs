//! What a key, a change of the ledger or an answer of the desk does to the screens. No reading, no writing: what is to be
//! done outside is handed back as effects.

use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

use super::app::{App, Confirm, Layer, Yes};
use super::ask::Ask;
use super::base::{Base, Opens};
use super::book;
use super::choice::{ChoiceList, Pick};
use super::form::Wanted;
use super::keys::Act;
use super::line::{Purpose, Typed, TypedLine};
use super::noting::{form_outcome, noted, undo, undo_refused};
use super::page::Page;
use super::person::{alone, picked, pin_checked};
use super::room::{Chosen, RoomScreen};
use super::world::World;
use crate::desk::Logged;
use crate::domain::code::Code;
use crate::domain::decide::Refusal;
use crate::domain::entry::Number;
use crate::domain::moves::TraceAsked;
use crate::domain::shown::shown;

/// Of a key that is about a room, where the chosen line is about none.
const NO_ROOM: &str = "That is about a room, and this line is about none. / finds one by its code.";

pub enum Msg {
    Key(KeyEvent),
    /// A key that was pressed before what it would act on could be read: `seen` tells whether it was shown at all.
    Early {
        key: KeyEvent,
        seen: bool,
    },
    Paste(String),
    Resized(u16, u16),
    /// The ledger or the minute changed.
    Changed,
    /// The page for a wall turns.
    Turn,
    /// For a long time no key was pressed.
    Alone,
    /// The program is about to end from outside.
    Ending,
    /// Something to say that no key asked for.
    Say(String),
}

/// What an effect came to. It wants at most something filed, so no effect can bring about another of its kind.
pub enum Answer {
    Noted(Noted),
    PinChecked {
        person: Code,
        answer: Pin,
        then: Option<Ask>,
    },
    /// The logger's file that a form named, or why it cannot be used.
    TraceRead {
        asked: Box<TraceAsked>,
        read: Result<Box<Logged>, String>,
    },
}

/// What filing something came to. It wants nothing more.
pub enum Filed {
    /// Drafts were kept, or nothing of this person was kept before.
    Well,
    /// What was kept of what this person had begun.
    Recalled { person: Code, text: String },
    /// Drafts could not be kept, and why.
    NotKept(String),
}

/// What became of a PIN.
#[derive(Debug, PartialEq, Eq)]
pub enum Pin {
    Right,
    /// A PIN was set, and none was typed yet.
    Wanted,
    Wrong,
    /// After several wrong ones: for how long nothing is looked at.
    Wait(String),
    /// It could not be checked, and why: that says nothing of what was typed.
    Fault(String),
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
    /// Without a PIN: whether this person needs none.
    CheckPin {
        person: Code,
        pin: Option<String>,
        then: Option<Ask>,
    },
    File(Filing),
    /// Read the logger's file that a form names.
    ReadTrace(Box<TraceAsked>),
    /// Draw everything again: something else wrote on the terminal.
    Redraw,
    Quit,
}

/// Something to be done in this user's own folder.
#[derive(Debug, PartialEq)]
pub enum Filing {
    /// Keep what this person had begun; empty: nothing is begun any more.
    Keep {
        person: Code,
        text: String,
    },
    Recall {
        person: Code,
    },
}

pub fn update(app: &mut App, world: &World<'_>, msg: Msg) -> Vec<Effect> {
    let layers = app.layers.len();
    let mut keeps = true;
    let mut effects = match msg {
        Msg::Key(key) => {
            let effects = key_pressed(app, world, key, None);
            keeps = app.layers.len() != layers || effects.contains(&Effect::Quit);
            effects
        }
        Msg::Early { key, seen } => {
            keeps = false;
            key_pressed(app, world, key, Some(seen))
        }
        msg => {
            told(app, world, msg);
            vec![]
        }
    };
    if keeps {
        app.keep_drafts();
    }
    // What is kept comes first: after the end nothing is.
    let mut all: Vec<Effect> = std::mem::take(&mut app.filings).into_iter().map(Effect::File).collect();
    all.append(&mut effects);
    all
}

/// Takes in what an effect came to.
pub fn answered(app: &mut App, world: &World<'_>, answer: Answer) -> Vec<Filing> {
    match answer {
        Answer::Noted(answer) => noted(app, world, answer),
        Answer::PinChecked { person, answer, then } => pin_checked(app, world, person, answer, then.as_ref()),
        Answer::TraceRead { asked, read } => {
            if let Some(Layer::Form(form)) = app.layers.last_mut() {
                form.trace_read(*asked, read, world);
            }
        }
    }
    app.keep_drafts();
    std::mem::take(&mut app.filings)
}

/// Takes in what became of something that was filed. What that changes is filed after the next message.
pub fn filed(app: &mut App, world: &World<'_>, filed: Filed) {
    match filed {
        Filed::Well => {}
        Filed::Recalled { person, text } => app.recalled(person, &text, world),
        Filed::NotKept(why) => app.not_kept(&why, world),
    }
}

fn told(app: &mut App, world: &World<'_>, msg: Msg) {
    match msg {
        Msg::Key(_) | Msg::Early { .. } | Msg::Ending => {}
        Msg::Paste(text) => paste(app, world, &text),
        Msg::Resized(width, height) => {
            (app.width, app.height) = (width, height);
            app.lay_out(world);
        }
        Msg::Changed => app.refresh(world),
        Msg::Alone => alone(app, world),
        Msg::Turn => {
            if let Some(Layer::Wall(wall)) = app.layers.last_mut() {
                wall.turn(false);
                app.said.clear();
            }
        }
        Msg::Say(text) => app.said = shown(&text),
    }
}

/// `early`: the key came before what it acts on could be read, and whether that was shown at all.
fn key_pressed(app: &mut App, world: &World<'_>, key: KeyEvent, early: Option<bool>) -> Vec<Effect> {
    if key.kind == KeyEventKind::Release {
        return vec![];
    }
    let control = key.modifiers.contains(KeyModifiers::CONTROL);
    match key.code {
        KeyCode::Char('c' | 'C') if control => {
            if std::mem::replace(&mut app.leaving, true) {
                return vec![Effect::Quit];
            }
            let typed = if app.keeps_what_is_begun() { "kept for your next sign-in" } else { "lost" };
            app.said = format!("Ctrl-C once more leaves. What you only typed is {typed}.");
            return vec![];
        }
        KeyCode::Char('z' | 'Z') if control => {
            app.said = "Ctrl-Z does not stop the board: a stopped one would look alive. q leaves it.".to_owned();
            return vec![];
        }
        _ => {}
    }
    app.leaving = false;
    let Some(act) = app.context().act(key) else {
        if let Some(why) = app.context().not_here(key).filter(|_| !app.is_too_small()) {
            app.said = why;
        }
        return vec![];
    };
    if app.is_too_small() && !matches!(act, Act::Leave | Act::Redraw) {
        // What cannot be seen must not be answered.
        return vec![];
    }
    if early.is_some() && app.just_noted.is_some() && act == Act::Go {
        // What was noted stays said.
        return vec![];
    }
    app.just_noted = None;
    app.said.clear();
    if let Some(seen) = early
        && is_final(app, act, seen)
    {
        app.said = "That key came before this could be read. Read it, then press it once more.".to_owned();
        return vec![];
    }
    act_on(app, world, act)
}

/// What an early key must not do: note what was not on the screen yet; sign, or say yes, before anyone can have read it.
fn is_final(app: &App, act: Act, seen: bool) -> bool {
    match app.layers.last() {
        Some(Layer::Form(form)) => act == Act::Go && form.notes_now() && (!seen || form.is_signature()),
        // Where nothing is lost by it, two presses of q in a row are meant.
        Some(Layer::Confirm(confirm)) => act == Act::Yes && (app.has_unsaved() || !matches!(confirm.yes, Yes::Leave)),
        Some(Layer::Choice(list)) => act == Act::Go && list.asks_who(),
        _ => false,
    }
}

fn act_on(app: &mut App, world: &World<'_>, act: Act) -> Vec<Effect> {
    if let Some(done) = act_anywhere(app, world, act) {
        return done;
    }
    let size = (app.width, app.body_lines());
    match app.layers.last_mut() {
        None => act_on_base(app, world, act),
        Some(Layer::Room(_)) => act_on_room(app, world, act),
        Some(Layer::Form(form)) if act == Act::Discard => {
            if form.is_touched() {
                let question = "Throw away what you typed in this form? Nothing of it was noted.".to_owned();
                app.layers.push(Layer::Confirm(Confirm { question, yes: Yes::Discard }));
            } else {
                app.said = "Nothing was typed here yet. Esc closes the form.".to_owned();
            }
        }
        Some(Layer::Form(form)) => {
            let outcome = form.act(act, world);
            return form_outcome(app, world, outcome);
        }
        Some(Layer::Choice(list)) => {
            if act == Act::Back {
                app.layers.pop();
            } else if let Some(pick) = list.act(act) {
                if pick == Pick::Others {
                    list.show_others();
                    return vec![];
                }
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
                (Some(Typed::Room(room, bed)), _) => {
                    app.layers.pop();
                    jump(app, world, room, bed);
                }
                (Some(Typed::Entry(text)), _) => {
                    app.layers.pop();
                    app.said = app.ledger.find(&text, world, &app.survey);
                    app.lay_out(world);
                }
                (Some(Typed::Pin(pin)), Purpose::Pin { person, then }) => {
                    return vec![Effect::CheckPin { person, pin: Some(pin), then }];
                }
                _ => {}
            }
        }
        Some(Layer::Confirm(_)) => match (act, app.layers.pop()) {
            (Act::Yes, Some(Layer::Confirm(confirm))) => {
                return match (confirm.yes, app.person) {
                    (Yes::Note(wanted), Some(person)) => vec![Effect::Note { wanted, person }],
                    (Yes::Note(_), None) => vec![],
                    (Yes::Open(ask), _) => {
                        app.open_form(&ask, world);
                        vec![]
                    }
                    (Yes::Leave, _) => vec![Effect::Quit],
                    (Yes::Discard, _) => {
                        app.layers.pop();
                        app.said = "Thrown away. Nothing was noted.".to_owned();
                        vec![]
                    }
                };
            }
            _ => app.said = "Nothing was done.".to_owned(),
        },
        Some(Layer::Wall(wall)) => match act {
            Act::Back => drop(app.layers.pop()),
            Act::Up => wall.turn(true),
            Act::Down => wall.turn(false),
            _ => {}
        },
        Some(Layer::Page(page)) => {
            if act == Act::Back {
                app.layers.pop();
            } else if matches!(act, Act::Look | Act::Go) {
                let room = page.room();
                if room.is_some() || act == Act::Go {
                    app.layers.pop();
                }
                if let Some(room) = room {
                    open_room(app, world, room);
                }
            } else {
                page.act(act, size);
            }
        }
    }
    vec![]
}

/// Keys that mean the same wherever they mean anything.
fn act_anywhere(app: &mut App, world: &World<'_>, act: Act) -> Option<Vec<Effect>> {
    match act {
        Act::Help => app.layers.push(Layer::Page(Page::help(app.context(), app.about_here()))),
        Act::Redraw => return Some(vec![Effect::Redraw]),
        Act::Turn(base) if app.layers.is_empty() && app.base == base => {
            app.said = format!("This is the {}.", base.name());
        }
        Act::Turn(base) => app.turn(base, world),
        Act::NextScreen => app.turn(app.base.further(1), world),
        Act::PreviousScreen => app.turn(app.base.further(Base::ALL.len() - 1), world),
        Act::Jump => app.layers.push(Layer::Line(TypedLine::new(Purpose::Find))),
        Act::SignIn => app.layers.push(Layer::Choice(ChoiceList::people(world, None))),
        Act::SignOut if app.person.is_none() => app.said = "Nobody is signed in; s signs in.".to_owned(),
        Act::SignOut => app.sign_out(world),
        Act::Moves | Act::Next | Act::Seen if app.chosen_room().is_none() => NO_ROOM.clone_into(&mut app.said),
        Act::Moves => {
            if let Some(room) = app.chosen_room() {
                let list = ChoiceList::moves(world, room, app.chosen_bed(), app.person, |ask| app.has_begun(ask));
                app.layers.push(Layer::Choice(list));
            }
        }
        Act::Next => next_step(app, world),
        Act::Shift if matches!(app.layers.last(), Some(Layer::Page(page)) if page.is_shift()) => {
            app.said = "This is your shift's page. Esc closes it.".to_owned();
        }
        Act::Shift => app.layers.push(Layer::Page(Page::shift(world, app.person))),
        Act::Seen => {
            if let Some(room) = app.chosen_room() {
                app.open_form(&Ask::of_room(world.board, room, "finding"), world);
            }
        }
        Act::Undo => undo(app, world),
        // The board stays up at a station: a letter that strays must not take it away.
        Act::Leave if app.is_too_small() => return Some(vec![Effect::Quit]),
        Act::Leave => {
            let question = match app.has_unsaved() {
                true => "Leave? A form with something typed in it is not noted, and would be lost.",
                false => "Leave? The board goes from this screen until somebody starts it again. Nothing is lost.",
            };
            app.layers.push(Layer::Confirm(Confirm { question: question.to_owned(), yes: Yes::Leave }));
        }
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
        Act::Look => match app.chosen_room() {
            Some(room) => open_room(app, world, room),
            None => NO_ROOM.clone_into(&mut app.said),
        },
        Act::Take => match app.tasks.take(&app.survey) {
            Ok(ask) => app.open_form(&ask, world),
            Err(why) => why.clone_into(&mut app.said),
        },
        Act::ConfirmBeds => confirm_beds(app, world),
        Act::Book if app.person.is_some() && !app.offered.contains("set-policy") => {
            app.said = "The book, an acting lead too, is for the lead and infection prevention: call one to sign in. Beds stay closed."
                .to_owned();
        }
        Act::Book => app.layers.push(Layer::Choice(book::shelves(world))),
        Act::Otherwise => match app.bags.otherwise(world) {
            Some(ask) => app.open_form(&ask, world),
            None => "There is no bag here that is out.".clone_into(&mut app.said),
        },
        Act::Find => app.layers.push(Layer::Line(TypedLine::new(Purpose::Entry))),
        Act::Void => match app.ledger.void(world) {
            Ok(entry) => match app.person.and_then(|person| undo_refused(entry, person, world)) {
                None => app.open_form(&Ask::void(entry), world),
                Some(no) => {
                    app.said = format!("Entry {} is not yours to void: {}", entry.number, shown(&no.to_string()))
                }
            },
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
        Opens::Room(room) => open_room(app, world, room),
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
        None => {
            let list = ChoiceList::moves(world, code, None, app.person, |ask| app.has_begun(ask));
            app.layers.push(Layer::Choice(list));
        }
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

fn open_room(app: &mut App, world: &World<'_>, room: Code) {
    app.layers.push(Layer::Room(Box::new(RoomScreen::new(room))));
    app.lay_out_rooms(world);
}

/// From the jump line: the room is chosen where one is, and opened, on the line of the bed that was typed.
fn jump(app: &mut App, world: &World<'_>, room: Code, bed: Option<Code>) {
    app.choose(room, world);
    if matches!(app.layers.last(), Some(Layer::Room(_))) {
        app.layers.pop();
    }
    open_room(app, world, room);
    if let (Some(bed), Some(Layer::Room(screen))) = (bed, app.layers.last_mut()) {
        screen.choose_bed(bed, &app.survey);
    }
}

/// A paste is text for a field, never keys.
fn paste(app: &mut App, world: &World<'_>, text: &str) {
    if app.is_too_small() {
        return;
    }
    let taken = match app.layers.last_mut() {
        Some(Layer::Form(form)) => form.paste(text, world),
        Some(Layer::Line(line)) => {
            line.paste(text, &app.survey);
            Some(0)
        }
        _ => None,
    };
    match taken {
        None => app.said = "A paste goes only into a field of text.".to_owned(),
        Some(0) => {}
        Some(1) => app.said = "1 sign of what was pasted was left out: no screen shows it.".to_owned(),
        Some(many) => app.said = format!("{many} signs of what was pasted were left out: no screen shows them."),
    }
}
