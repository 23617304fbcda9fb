//! The methods in one table: what each answers, within which range, and who published it.
//!
//! The rulebook prints it on the screen and on the command line. Citations are the constants that the methods' own answers
//! name, and ranges are worded from the bounds that the methods refuse by, so that neither can drift from what is worked out.

use super::laundry::{
    HygieneCriterion, INSECT_DRY_MINUTES, INSECT_WASH_DECICELSIUS, INSECT_WASH_MINUTES, NAYLOR_BOASE,
};
use super::{air, detection, drying, eggs, evaporation, heat, learning, mixing, trace};

/// One method.
#[derive(Clone, Copy, Debug)]
pub struct Published {
    pub name: &'static str,
    /// What `dryhold estimate` calls it.
    pub estimate: &'static str,
    pub answers: &'static str,
    range: fn() -> String,
    citations: fn() -> Vec<&'static str>,
}

impl Published {
    /// For what it holds, in a sentence.
    pub fn range(&self) -> String {
        (self.range)()
    }

    /// Each once.
    pub fn citations(&self) -> Vec<&'static str> {
        let mut once: Vec<&'static str> = vec![];
        for citation in (self.citations)() {
            if !once.contains(&citation) {
                once.push(citation);
            }
        }
        once
    }
}

/// In the order in which `dryhold estimate` lists them.
pub const METHODS: [Published; 10] = [
    Published {
        name: "humid air",
        estimate: "air",
        answers: "How much vapour air holds and can hold, its dew point and wet bulb, and its humidity once brought indoors.",
        range: || {
            let ((coldest, hottest), (least, most)) = (air::WEATHER_CELSIUS, air::PRESSURES_PA);
            format!("{coldest} to {hottest} °C, {least} to {most} Pa; an ideal gas; over ice below freezing.")
        },
        citations: || vec![air::SOURCE],
    },
    Published {
        name: "a film of water",
        estimate: "drying",
        answers: "How fast water leaves a sprayed surface that cools as it dries.",
        range: || {
            let ((coldest, hottest), (least, most)) = (evaporation::ROOM_CELSIUS, evaporation::TRANSFER);
            format!(
                "{coldest} to {hottest} °C, slow air (h_c {least} to {most} W/(m² K)), water-like liquid; not alcohol or oil, not liquid in seams or foam. Errs late."
            )
        },
        citations: || vec![evaporation::SOURCE],
    },
    Published {
        name: "drying of a room",
        estimate: "drying",
        answers: "When the sprayed surfaces of a room are worth a look: earliest, likely, last patch; or that they never dry, and why.",
        range: || {
            let (heavy, longest) = (drying::HEAVY_ML_PER_M2, drying::LONGEST_HOURS);
            format!(
                "Films up to {heavy} mL/m², one well-mixed room at one temperature; over {longest} hours is told as never. Not measured in a sprayed room."
            )
        },
        citations: || vec![drying::SOURCE, evaporation::SOURCE, air::SOURCE],
    },
    Published {
        name: "learning from dry checks",
        estimate: "drying",
        answers: "By how much a hospital's own rooms dried later or sooner than estimated, as its dry checks show; for planning the next look.",
        range: || {
            let ((least, most), within) = (learning::RATIOS, learning::NINE_IN_TEN_WITHIN);
            format!(
                "Checks {least} to {most} times the estimate after spraying, not timed by how dry a room looks. Assumed beforehand: nine in ten hospitals within a factor of {within} of the estimate. A ward by itself from {} dryings, {} of them seen damp.",
                learning::ENOUGH_DRYINGS,
                learning::ENOUGH_SEEN_DAMP
            )
        },
        citations: || vec![learning::SOURCE, learning::INTERVAL_SOURCE],
    },
    Published {
        name: "laundry: time held",
        estimate: "laundry",
        answers: "Whether a logger's trace met each published criterion, by its own kind of time; the sensor that did worst decides.",
        range: || {
            format!(
                "Readings at most {} s apart where not said, and a tenth of it, which is ours; the sensor's uncertainty comes off. Bed bugs: a wash at {} °C for {INSECT_WASH_MINUTES} minutes, or {INSECT_DRY_MINUTES} minutes in a hot dryer with a small load.",
                trace::LONGEST_STEP_SECONDS,
                f64::from(INSECT_WASH_DECICELSIUS) / 10.0
            )
        },
        citations: || HygieneCriterion::ALL.into_iter().map(HygieneCriterion::source).chain([NAYLOR_BOASE]).collect(),
    },
    Published {
        name: "laundry: A0",
        estimate: "laundry",
        answers: "What a trace amounts to in seconds at 80 °C: a further figure, no criterion for linen.",
        range: || format!("From {} °C up, moist heat alone: not what happens in a dryer.", trace::A0_FLOOR_CELSIUS),
        citations: || vec![trace::A0_SOURCE],
    },
    Published {
        name: "heat and cold",
        estimate: "heat",
        answers: "What a temperature at the core of a load was shown to do to adults, nymphs and eggs in that time.",
        range: || {
            let ((coldest, hottest), (_, longest)) = (heat::CORE_CELSIUS, heat::MINUTES);
            format!(
                "{coldest} to {hottest} °C, up to {longest} minutes; the published points and beyond, nothing between them."
            )
        },
        citations: || vec![heat::KELLS_GOBLIRSCH, heat::OLSON],
    },
    Published {
        name: "egg clock",
        estimate: "eggs",
        answers: "Until when eggs may hatch at a room's temperature, and the checks that follow.",
        range: || {
            let (coldest, hottest) = eggs::LINEAR_CELSIUS;
            format!("{coldest} to {hottest} °C; outside there are words and no number.")
        },
        citations: || vec![eggs::SOURCE, eggs::FOLLOW_UP_SOURCE, eggs::EMPTY_ROOM_SOURCE],
    },
    Published {
        name: "odds of a miss",
        estimate: "clearance",
        answers: "The chance that a room is still infested after checks that found nothing.",
        range: || {
            "Measured in flats by trained people, not in hospital rooms; repeats are taken as independent.".to_owned()
        },
        citations: || vec![detection::BAYES, detection::WANG_2016, detection::COOPER_2014],
    },
    Published {
        name: "mixing and coverage",
        estimate: "mix",
        answers: "Product, water and spray from the label's own numbers; none is supplied.",
        range: || {
            let ((least, most), (few, many)) = (mixing::PERCENT, mixing::ML_PER_M2);
            format!("{least} to {most} % weight in volume, {few} to {many} mL/m²; % by weight needs the density first.")
        },
        citations: || vec![mixing::SOURCE],
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_method_says_what_it_answers_within_what_and_by_whom() {
        for method in &METHODS {
            assert!(method.answers.ends_with('.') && method.range().ends_with('.'), "{method:?}");
            assert!(!method.citations().is_empty(), "{method:?}");
            assert!(METHODS.iter().filter(|it| it.name == method.name).count() == 1, "{}", method.name);
        }
    }

    #[test]
    fn ranges_are_those_by_which_the_methods_refuse() {
        let range = |name: &str| METHODS.iter().find(|it| it.name == name).expect("the method").range();
        assert!(range("humid air").starts_with("-60 to 60 °C, 20000 to 200000 Pa"), "{}", range("humid air"));
        let at = |celsius| air::Air::new(celsius, 0.5, air::STANDARD_PRESSURE_PA);
        assert!(at(60.0).is_ok() && at(60.1).is_err() && at(-60.1).is_err());
        assert!(range("a film of water").starts_with("10 to 35 °C"), "{}", range("a film of water"));
        let film = |celsius| evaporation::Transfer::new(&at(celsius).expect("air"), 3.0, 5.0);
        assert!(film(35.0).is_ok() && film(35.1).is_err() && film(9.9).is_err());
        assert!(range("egg clock").starts_with("18 to 30 °C"), "{}", range("egg clock"));
        let days = |celsius| eggs::EggClock::at(celsius).expect("a room").days();
        assert!(days(18.0).is_some() && days(30.0).is_some() && days(17.9).is_none() && days(30.1).is_none());
        assert!(range("learning from dry checks").starts_with("Checks 0.0001 to 10000 times"));
        let dry_by = |ratio| learning::Observation::new(None, Some(ratio));
        assert!(dry_by(1e-4).is_ok() && dry_by(1e4).is_ok() && dry_by(9e-5).is_err() && dry_by(1.1e4).is_err());
        assert!(range("laundry: A0").starts_with("From 65 °C"), "{}", range("laundry: A0"));
    }
}
