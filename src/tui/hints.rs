//! The line of keys at the foot: what is worth a place in it where one is.

use super::app::{App, Layer};
use super::keys::Context;

impl App {
    /// For the help of where one is: what the banner has no space for, and of a form what it and its question are about.
    pub(super) fn about_here(&self) -> Vec<(String, String)> {
        let mut about = vec![];
        about.extend(self.top.trouble.as_ref().map(|text| ("Ledger".to_owned(), text.clone())));
        about.extend(self.top.gap.as_ref().map(|gap| ("Ledger".to_owned(), gap.whole.clone())));
        about.extend(self.top.not_kept.as_ref().map(|text| ("Terminal".to_owned(), text.clone())));
        if self.layers.is_empty() {
            about.extend(self.screen().in_full());
        }
        if let Some(Layer::Form(form)) = self.layers.last() {
            about.push(("Form".to_owned(), form.mv.about.to_owned()));
            about.push(("Here".to_owned(), form.help()));
        }
        about
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
    if context == Context::Tasks
        && app.tasks.is_for_others(&app.survey)
        && let Some((_, does)) = hints.iter_mut().find(|(key, _)| *key == "Enter")
    {
        *does = "the room";
        hints.retain(|(key, _)| !matches!(*key, "Space" | "t"));
    }
    let offered = app.person.is_none() || app.offered.contains("occupancy");
    hints.retain(|(_, does)| *does != "confirm beds" || offered);
    if let Some(Layer::Page(page)) = app.layers.last()
        && page.room().is_none()
    {
        hints.retain(|(key, _)| *key != "Space");
    }
    if let Some(Layer::Form(form)) = app.layers.last()
        && context == Context::FormEnd
        && let Some((_, does)) = hints.iter_mut().find(|(key, _)| *key == "Enter")
    {
        *does = form.enter_does();
        if !form.is_touched() {
            hints.retain(|(key, _)| *key != "x");
        }
        if form.has_mends() {
            hints.insert(1, ("1-9", "what is missing"));
        }
    }
    if let Some(Layer::Form(form)) = app.layers.last() {
        if let Some(here) = form.keys_here() {
            // A digit does what turning through the answers does, and going to the end may be left out first.
            hints.retain(|(key, _)| *key != "Right");
            hints.insert(0, here);
        }
        hints.sort_by_key(|(key, _)| *key == "End");
    }
    if context == Context::Choice {
        hints.insert(1, ("a-z", "narrow"));
    }
    if context.types() {
        // There a ? is text.
        hints.push(("F1", "help"));
    }
    if matches!(app.layers.last(), Some(Layer::Page(page)) if page.is_shift()) {
        hints.retain(|(key, _)| *key != "h");
    }
    if app.layers.is_empty() || matches!(context, Context::Room | Context::Page) {
        let signing = if app.person.is_none() { ("s", "sign in") } else { ("o", "sign out") };
        hints.insert(hints.len().min(3), signing);
    }
    hints
}
