//! From a form's end to an entry and back: what a form wants, what the desk answers, and how one's own entry is undone.

use super::app::{App, CLOCK, Confirm, FORM_KEPT, Layer, Yes};
use super::ask::Ask;
use super::choice::ChoiceList;
use super::form::Outcome;
use super::update::{Effect, Noted};
use super::world::World;
use crate::domain::code::Code;
use crate::domain::decide::{Command, Refusal, decide};
use crate::domain::entry::{Body, CommandId, Entry};
use crate::domain::shown::shown;

pub(super) fn form_outcome(app: &mut App, world: &World<'_>, outcome: Outcome) -> Vec<Effect> {
    match outcome {
        Outcome::Stays => {}
        Outcome::Says(text) => text.clone_into(&mut app.said),
        Outcome::Closes => {
            if let Some(Layer::Form(form)) = app.layers.pop()
                && form.is_touched()
            {
                app.said = FORM_KEPT.to_owned();
                app.drafts.push(*form);
            }
        }
        Outcome::Reads(asked) => return vec![Effect::ReadTrace(asked)],
        Outcome::Opens(ask) => app.open_form(&ask, world),
        Outcome::Notes(wanted) if wanted.verb != CLOCK && app.person.is_some() && app.ask_the_time(world) => {}
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

pub(super) fn noted(app: &mut App, world: &World<'_>, answer: Noted) {
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
            let undo = match app.person.and_then(|person| Some((own_last(person, world)?, person))) {
                Some((entry, person)) if undo_refused(entry, person, world).is_none() => " (u: noted in error)",
                _ => "",
            };
            app.just_noted = Some(number);
            app.said = format!("Noted, entry {number}{undo}: {}", shown(&sentence));
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

/// The form that voids what the person signed in noted last, where it still can be.
pub(super) fn undo(app: &mut App, world: &World<'_>) {
    let Some(person) = app.person else {
        app.said = "Nobody is signed in: s signs in. u voids what you noted last.".to_owned();
        return;
    };
    let Some(entry) = own_last(person, world) else {
        app.said = "There is no entry of yours to undo.".to_owned();
        return;
    };
    match undo_refused(entry, person, world) {
        None => app.open_form(&Ask::void(entry), world),
        Some(_) if matches!(entry.body, Body::TaskAccepted { .. }) => {
            app.said =
                format!("Entry {}, who has a task, stays. t on the task gives it to somebody else.", entry.number);
        }
        Some(refusal) => app.said = format!("Not undone: {}", shown(&refusal.to_string())),
    }
}

/// Why this person may not void the entry. It is tried on the board, and nothing is written.
pub(super) fn undo_refused(entry: &Entry, person: Code, world: &World<'_>) -> Option<Refusal> {
    let body = Body::Voided { entry: entry.number, why: "tried".to_owned(), really_in: None };
    decide(world.board, &Command::new(CommandId(0), entry.place.clone(), body), person, world.now).err()
}

/// The newest entry that this person noted, if it is one that can be voided.
fn own_last<'a>(person: Code, world: &World<'a>) -> Option<&'a Entry> {
    let newest = world.entries.iter().rev().find(|entry| entry.noted_by == person)?;
    let kept = matches!(newest.body, Body::Voided { .. }) || newest.body.is_setting();
    (!kept).then_some(newest)
}
