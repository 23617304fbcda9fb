//! The options of `estimate`, and how their numbers are read: one sentence for whatever is no number.

use std::path::PathBuf;

use clap::builder::{NonEmptyStringValueParser, PossibleValuesParser};
use clap::{Arg, ArgAction, ArgMatches, Command, value_parser};

use crate::cli::Stop;
use crate::domain::moves::TimesAre;
use crate::domain::surfaces::FLOORS_M2;

pub(in crate::cli) fn command() -> Command {
    Command::new("estimate")
        .about("Ask the published methods: air, drying, laundry, heat, eggs, clearance, mixing. Permits nothing")
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand_value_name("WHAT")
        .subcommand_help_heading("Methods")
        .subcommands([air(), drying(), laundry(), heat(), eggs(), clearance(), mix()])
}

fn air() -> Command {
    method("air", "Humid air: what it holds and can hold, its dew point and wet bulb").args([
        number("temp-c", "CELSIUS", "Temperature of the air").required(true),
        number(
            "rh",
            "PERCENT",
            "Relative humidity in percent. 1 or less is read as a part of 1: 1 is 100 %, 0.45 is 45 %",
        )
        .required(true),
        number("indoors-c", "CELSIUS", "Temperature of the room that it is brought into, by a window or a fan"),
        number("pressure-pa", "PASCAL", "Air pressure; sea level, 101325, where not said"),
    ])
}

fn drying() -> Command {
    method("drying", "When sprayed surfaces are dry: a time to look, never a permission").args([
        number("temp-c", "CELSIUS", "Temperature of the room; 22 where not said"),
        number("rh", "PERCENT", "Its relative humidity; 45 where not said"),
        number("supply-temp-c", "CELSIUS", "Temperature of the air brought in; as the room's where not said"),
        number("supply-rh", "PERCENT", "Its relative humidity, at that temperature"),
        number("air-changes", "PER_HOUR", "Changes with drier air an hour by ventilation; 0 is none"),
        kind_of_room(),
        number("floor-m2", "M2", "Its floor; that of its kind where not said"),
        number("height-m", "METRES", "From floor to ceiling; 2.7 where not said"),
        number("volume-m3", "M3", "Its volume, in place of floor and height"),
        number("pressure-pa", "PASCAL", "Air pressure; sea level where not said"),
        number("surface", "AREA_M2,GRAMS_PER_M2,H_C,U_SUB", "One sprayed surface; again for each further one")
            .action(ArgAction::Append),
        number("litres", "LITRES", "What was sprayed, with --area-m2 or --zones in place of --surface"),
        number("strokes", "NUMBER", "The same, counted at the pump"),
        number("ml-per-stroke", "ML", "What one stroke gives; measure it"),
        number("area-m2", "M2", "On what area"),
        number("zones", "PART[=AREA_M2][:CLASS],…", "On which zones of the room, or `all` that may be sprayed")
            .action(ArgAction::Append),
        number("beds", "NUMBER", "How many beds its zones are counted for; 1 where not said"),
        number("label-minutes", "MINUTES", "The label's own minimum, which the first check waits for"),
        choice("ventilation", &["on", "off", "fan"], "Ventilation, where --air-changes does not say"),
        choice("window", &["open", "closed"], "The window; closed where not said"),
        number("window-changes", "PER_HOUR", "Air changes that the open window adds"),
        number("outdoor-temp-c", "CELSIUS", "Temperature outdoors, with the window open"),
        number("outdoor-rh", "PERCENT", "Relative humidity outdoors, at that temperature"),
        choice("surface-class", &["massive", "board", "soft"], "What the area is made of"),
    ])
}

/// The kinds that come with the program.
fn kind_of_room() -> Arg {
    let kinds = PossibleValuesParser::new(FLOORS_M2.map(|(kind, _)| kind));
    Arg::new("room-kind").long("room-kind").value_name("KIND").value_parser(kinds).help("Kind of room")
}

fn laundry() -> Command {
    let flag = |name, help| Arg::new(name).long(name).action(ArgAction::SetTrue).help(help);
    method("laundry", "A logger's file against each published criterion, apart").args([
        Arg::new("trace")
            .value_name("TRACE")
            .required(true)
            .value_parser(value_parser!(PathBuf))
            .help("CSV: time, then a column for each sensor"),
        choice("time", &TimesAre::WORDS, "How its times are written, where the header does not say"),
        flag("minutes", "The same as --time minutes"),
        choice(
            "unit",
            &["c", "f"],
            "Degrees Celsius or Fahrenheit, where the header does not say it by a degree sign, in brackets or in a word",
        ),
        number("zone", "ZONE", "By which clock its dates go, where they carry no zone: UTC, +02:00, Europe/Berlin"),
        number("uncertainty-k", "KELVIN", "The sensors' uncertainty, taken off each reading; 0 where not said"),
        number(
            "mixing-minutes",
            "MINUTES",
            "Mixing time of uk-65 and uk-71: 4 light, 8 heavy (both from memory); 8 where not said",
        ),
        number("max-gap-seconds", "SECONDS", "Nothing counts between readings further apart; 60 where not said"),
        flag("dryer", "The logger was in a tumble dryer"),
    ])
}

fn heat() -> Command {
    method("heat", "Heat or cold at the core of a load: what it was shown to do, by stage").args([
        number("core-c", "CELSIUS", "Temperature at the core, not of the air").required(true),
        number("minutes", "MINUTES", "For how long").required(true),
    ])
}

fn eggs() -> Command {
    method("eggs", "Until when eggs may hatch, and the checks that follow")
        .arg(number("temp-c", "CELSIUS", "Temperature of the room").required(true))
}

fn clearance() -> Command {
    method("clearance", "The chance that a room is still infested after clean checks").args([
        number("prior", "PERCENT", "The chance before them; 50 where not said. 1 or less is read as a part of 1: 1 is 100 %, 0.5 is 50 %"),
        choice("method", &["visual", "traps", "dog", "staff"], "How it was looked at").required(true),
        number("checks", "NUMBER", "How many checks found nothing").required(true),
        number("finds", "PERCENT", "The hospital's own chance to find what is there, 99.9 at most. 1 or less is read as a part of 1: 0.72 is 72 %"),
    ])
}

fn mix() -> Command {
    method("mix", "Mixing and coverage from the label's own numbers; none is supplied").args([
        number("concentrate-percent", "PERCENT", "Strength of the product"),
        number("finished-percent", "PERCENT", "Strength of the finished spray"),
        number("finished-litres", "LITRES", "How much of it"),
        number("area-m2", "M2", "Area to spray"),
        number("ml-per-m2", "ML_PER_M2", "The label's volume on each m²"),
        number("grams-per-m2", "G_PER_M2", "The label's dose of active ingredient on each m²"),
    ])
}

fn choice(name: &'static str, words: &'static [&'static str], help: &'static str) -> Arg {
    Arg::new(name).long(name).value_name("WHICH").value_parser(PossibleValuesParser::new(words)).help(help)
}

fn method(name: &'static str, about: &'static str) -> Command {
    let json = Arg::new("json").long("json").action(ArgAction::SetTrue).help("The same as JSON");
    Command::new(name).about(about).arg(json)
}

fn number(name: &'static str, value: &'static str, help: &'static str) -> Arg {
    let text = Arg::new(name).long(name).value_name(value).help(help).value_parser(NonEmptyStringValueParser::new());
    // A temperature may be below zero.
    text.allow_hyphen_values(true)
}

/// The number that was typed for an option, if it was.
pub(super) fn typed(own: &ArgMatches, option: &str) -> Result<Option<f64>, Stop> {
    let text = own.try_get_one::<String>(option).ok().flatten();
    text.map(|text| read(&format!("--{option}"), text)).transpose()
}

/// The same where it has to be there.
pub(super) fn needed(own: &ArgMatches, option: &str) -> Result<f64, Stop> {
    typed(own, option)?.ok_or_else(|| Stop::Usage(format!("--{option} is missing: give a number")))
}

/// The number in a text, or what is wrong with it.
pub(super) fn read(place: &str, text: &str) -> Result<f64, Stop> {
    let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    number
        .ok_or_else(|| Stop::Usage(format!("{place}: “{text}” is no number; write it in digits with a point, as 22.5")))
}

/// A humidity or a chance as a part of 1. People read percent off a meter, tables print parts of 1.
pub(super) fn part(own: &ArgMatches, option: &str) -> Result<Option<f64>, Stop> {
    match typed(own, option)? {
        None => Ok(None),
        Some(it) if (0.0..=1.0).contains(&it) => Ok(Some(it)),
        Some(it) if (1.0..=100.0).contains(&it) => Ok(Some(it / 100.0)),
        Some(it) => Err(Stop::Usage(format!("--{option}: {it} is outside 0 to 100 %; give it in percent"))),
    }
}

/// What a method refused, as wrong usage.
pub(super) fn outside(error: impl std::fmt::Display) -> Stop {
    Stop::Usage(error.to_string())
}
