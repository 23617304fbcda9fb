//! What was published on heat and cold at the core of things, stage by stage: shown dead, shown alive, or not shown.
//!
//! Heat: Kells & Goblirsch, Insects 2:412-422, 2011 (read). 99 % of adults dead after 94.8 minutes at 45 °C or on reaching
//! 48.3 °C; 99 % of eggs after 71.5 minutes at 48 °C or on reaching 54.8 °C; at 45 °C eggs lived through 7 hours.
//! Cold: Olson et al., J. Econ. Entomol. 106:2433-2441, 2013 (read in summaries): all dead below −20 °C for 48 hours, at
//! −16 °C or colder for 80 hours, below −15 °C for 84 hours. A shorter claim (−17 °C for 2 hours) is contradicted by it and
//! is not used; nor are the times of a water bath that are tenfold shorter at 45 °C: where studies disagree, the slower wins.
//!
//! Range: the points above, and what is hotter (or colder) for longer. Nothing is read between them: no score adds heat up
//! over time, and between 48 and 54.8 °C eggs need the time of 48 °C. Nymphs have no figure here and are held to the eggs'.

use super::{OutOfRange, within};

pub const KELLS_GOBLIRSCH: &str = "Kells & Goblirsch, Insects 2:412-422, 2011";
pub const OLSON: &str = "Olson et al., J. Econ. Entomol. 106:2433-2441, 2013 (read in summaries)";

/// From a deep freezer to boiling. What is hotter was read in degrees Fahrenheit.
pub(super) const CORE_CELSIUS: (f64, f64) = (-90.0, 100.0);
/// A month.
pub(super) const MINUTES: (f64, f64) = (0.0, 43_200.0);

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Stage {
    Adults,
    Nymphs,
    Eggs,
}

impl Stage {
    pub const ALL: [Self; 3] = [Self::Adults, Self::Nymphs, Self::Eggs];

    pub fn word(self) -> &'static str {
        match self {
            Self::Adults => "adults",
            Self::Nymphs => "nymphs",
            Self::Eggs => "eggs",
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// 99 % or all of them, by the basis.
    ShownDead,
    ShownAlive,
    /// Nothing published says that it kills.
    NotShown,
}

impl Verdict {
    pub fn word(self) -> &'static str {
        match self {
            Self::ShownDead => "shown-dead",
            Self::ShownAlive => "shown-alive",
            Self::NotShown => "not-shown",
        }
    }
}

/// One stage's verdict, and the published point that it rests on or misses.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Judged {
    pub stage: Stage,
    pub verdict: Verdict,
    pub basis: &'static str,
    pub source: &'static str,
}

/// Judges a core that was so warm, or warmer throughout, for so many minutes. Below 0 °C: so cold, or colder.
pub fn judge(core_celsius: f64, minutes: f64) -> Result<[Judged; 3], OutOfRange> {
    let celsius = within("core temperature", core_celsius, CORE_CELSIUS, " °C")?;
    let minutes = within("minutes at the core", minutes, MINUTES, " min")?;
    Ok(Stage::ALL.map(|stage| {
        let (verdict, basis, source) = match stage {
            _ if celsius < 0.0 => cold(celsius, minutes),
            Stage::Adults => adults(celsius, minutes),
            Stage::Eggs => eggs(celsius, minutes),
            Stage::Nymphs => match eggs(celsius, minutes) {
                (Verdict::ShownDead, ..) => (
                    Verdict::ShownDead,
                    "no figure of their own: held to the eggs', which are hardier",
                    KELLS_GOBLIRSCH,
                ),
                _ => (Verdict::NotShown, "no figure of their own: held to the eggs', not met", KELLS_GOBLIRSCH),
            },
        };
        Judged { stage, verdict, basis, source }
    }))
}

type Found = (Verdict, &'static str, &'static str);

fn adults(celsius: f64, minutes: f64) -> Found {
    let (verdict, basis) = if minutes > 0.0 && celsius >= 48.3 {
        (Verdict::ShownDead, "99 % dead on reaching 48.3 °C")
    } else if celsius >= 45.0 && minutes >= 94.8 {
        (Verdict::ShownDead, "99 % dead after 94.8 min at 45 °C")
    } else if celsius >= 45.0 {
        (Verdict::NotShown, "at 45 °C 99 % were dead after 94.8 min, and not shown sooner")
    } else {
        (Verdict::NotShown, "nothing below 45 °C is used: it takes 94.8 min there")
    };
    (verdict, basis, KELLS_GOBLIRSCH)
}

fn eggs(celsius: f64, minutes: f64) -> Found {
    let (verdict, basis) = if minutes > 0.0 && celsius >= 54.8 {
        (Verdict::ShownDead, "99 % dead on reaching 54.8 °C")
    } else if celsius >= 48.0 && minutes >= 71.5 {
        (Verdict::ShownDead, "99 % dead after 71.5 min at 48 °C")
    } else if celsius >= 48.0 {
        (Verdict::NotShown, "it takes 71.5 min at 48 °C, or reaching 54.8 °C; nothing is read between")
    } else if celsius <= 45.0 && minutes <= 420.0 {
        (Verdict::ShownAlive, "at 45 °C eggs lived through 7 hours")
    } else {
        (Verdict::NotShown, "nothing below 48 °C was shown to kill eggs; at 45 °C they lived through 7 hours")
    };
    (verdict, basis, KELLS_GOBLIRSCH)
}

/// The same for every stage.
fn cold(celsius: f64, minutes: f64) -> Found {
    let hours = minutes / 60.0;
    let (verdict, basis) = if celsius < -20.0 && hours >= 48.0 {
        (Verdict::ShownDead, "all dead below −20 °C for 48 h")
    } else if celsius <= -16.0 && hours >= 80.0 {
        (Verdict::ShownDead, "all dead at −16 °C or colder for 80 h")
    } else if celsius < -15.0 && hours >= 84.0 {
        (Verdict::ShownDead, "all dead below −15 °C for 84 h")
    } else if celsius < -15.0 {
        (Verdict::NotShown, "it takes 48 h below −20 °C, 80 h at −16 °C or colder, 84 h below −15 °C, at the core")
    } else {
        (Verdict::NotShown, "nothing warmer than −15 °C was shown to kill")
    };
    (verdict, basis, OLSON)
}

#[cfg(test)]
mod tests {
    use super::*;
    use Verdict::{NotShown, ShownAlive, ShownDead};
    use proptest::prelude::*;

    /// Adults, nymphs, eggs.
    #[track_caller]
    fn check(celsius: f64, minutes: f64, wanted: [Verdict; 3]) {
        let found = judge(celsius, minutes).unwrap();
        assert_eq!(found.map(|it| it.verdict), wanted, "{celsius} °C {minutes} min: {found:?}");
    }

    #[test]
    fn heat_is_judged_by_the_published_points_alone() {
        // Kells & Goblirsch 2011: 45 °C 94.8 min for 99 % of adults; eggs live through 7 h there.
        check(45.0, 94.8, [ShownDead, NotShown, ShownAlive]);
        check(45.0, 94.7, [NotShown, NotShown, ShownAlive]);
        check(45.0, 420.0, [ShownDead, NotShown, ShownAlive]);
        check(45.0, 421.0, [ShownDead, NotShown, NotShown]);
        // The same: 48 °C 71.5 min for 99 % of eggs. Adults need the time of 45 °C, or 48.3 °C.
        check(48.0, 71.5, [NotShown, ShownDead, ShownDead]);
        check(48.0, 94.8, [ShownDead; 3]);
        check(48.0, 71.4, [NotShown, NotShown, NotShown]);
        // The same: 48.3 and 54.8 °C reached. Nothing between 48 and 54.8 °C is quicker than 71.5 min.
        check(48.3, 1.0, [ShownDead, NotShown, NotShown]);
        check(54.7, 71.4, [ShownDead, NotShown, NotShown]);
        check(54.8, 1.0, [ShownDead; 3]);
        check(54.8, 0.0, [NotShown; 3]);
        // Pereira et al. 2009 saw adults die within 25 min at 43 °C and 2 at 47 °C: not used, the slower wins.
        check(47.0, 2.0, [NotShown, NotShown, NotShown]);
        check(20.0, 60.0, [NotShown, NotShown, ShownAlive]);
    }

    #[test]
    fn cold_is_judged_by_the_published_points_alone() {
        // Olson et al. 2013.
        check(-20.1, 48.0 * 60.0, [ShownDead; 3]);
        check(-20.0, 48.0 * 60.0, [NotShown; 3]);
        check(-16.0, 80.0 * 60.0, [ShownDead; 3]);
        check(-16.0, 79.0 * 60.0, [NotShown; 3]);
        check(-15.1, 84.0 * 60.0, [ShownDead; 3]);
        check(-15.0, 84.0 * 60.0, [NotShown; 3]);
        // Naylor & Boase 2010 saw all dead at −17 °C after 2 h; Olson contradicts it.
        check(-17.0, 120.0, [NotShown; 3]);
    }

    #[test]
    fn slips_are_refused() {
        for (celsius, minutes) in [(130.0, 30.0), (-300.0, 30.0), (f64::NAN, 30.0), (50.0, -1.0), (50.0, f64::NAN)] {
            assert!(judge(celsius, minutes).is_err(), "{celsius} {minutes}");
        }
    }

    proptest! {
        #[test]
        fn hotter_or_longer_never_brings_a_stage_back(celsius in 0.0..99.0, minutes in 0.0..500.0, more in 0.0..1.0) {
            let now = judge(celsius, minutes).unwrap();
            for then in [judge(celsius + more, minutes).unwrap(), judge(celsius, minutes + 100.0 * more).unwrap()] {
                for (now, then) in now.iter().zip(then) {
                    prop_assert!(now.verdict != ShownDead || then.verdict == ShownDead, "{now:?} {then:?}");
                }
            }
        }

        #[test]
        fn colder_or_longer_never_brings_a_stage_back(celsius in -60.0..-0.1, hours in 0.0..100.0) {
            let now = judge(celsius, hours * 60.0).unwrap()[0].verdict;
            let then = judge(celsius - 1.0, (hours + 1.0) * 60.0).unwrap()[0].verdict;
            prop_assert!(now != ShownDead || then == ShownDead);
        }
    }
}
