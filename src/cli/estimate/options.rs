//! The options of `estimate`, and how their numbers are read: one sentence for whatever is no number.

use clap::builder::NonEmptyStringValueParser;
use clap::{Arg, ArgAction, ArgMatches, Command};

use crate::cli::Stop;

pub(in crate::cli) fn command() -> Command {
    Command::new("estimate")
        .about("Ask the published methods: air, drying, laundry, heat, eggs, clearance, mixing. Permits nothing")
        .subcommand_required(true)
        .arg_required_else_help(true)
        .subcommand_value_name("WHAT")
        .subcommand_help_heading("Methods")
        .subcommands([air()])
}

fn air() -> Command {
    method("air", "Humid air: what it holds and can hold, its dew point and wet bulb").args([
        number("temp-c", "CELSIUS", "Temperature of the air").required(true),
        number("rh", "PERCENT", "Relative humidity in percent; 1 or less is read as a part of 1").required(true),
        number("pressure-pa", "PASCAL", "Air pressure; sea level, 101325, where not said"),
    ])
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
