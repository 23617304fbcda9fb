//! Derivatives first, then what more or other dryings must do to a fit, then what cannot be fitted. The numbers themselves
//! are compared with reference libraries in `tests/outside`, and with a known truth in `simulated`.

use proptest::prelude::*;

use super::*;

fn seen(damp_at: Option<f64>, dry_by: Option<f64>) -> Observation {
    Observation::new(damp_at, dry_by).unwrap()
}

fn between(damp_at: f64, dry_by: f64) -> Observation {
    seen(Some(damp_at), Some(dry_by))
}

fn learned(observations: &[Observation]) -> Multiplier {
    learn(observations, &Prior::default())
}

/// Half an hour to an hour and a half between checks, about an m of 1.3; one never damp, one not yet dry.
fn dozen() -> Vec<Observation> {
    let closed = [
        (0.8, 1.2),
        (1.1, 1.4),
        (1.3, 1.9),
        (0.9, 1.3),
        (1.6, 2.2),
        (1.2, 1.5),
        (1.0, 1.7),
        (2.0, 2.6),
        (0.7, 0.9),
        (1.4, 1.6),
    ];
    let closed = closed.into_iter().map(|(damp, dry)| between(damp, dry));
    closed.chain([seen(None, Some(2.5)), seen(Some(1.1), None)]).collect()
}

#[track_caller]
fn close(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs(), "{found} is not {wanted}");
}

#[test]
fn derivatives_are_those_of_differences() {
    let sets = [
        dozen(),
        vec![between(1.0, 1.001), between(1.5, 1.50001), between(0.2, 9.0)],
        vec![seen(None, Some(0.4)), seen(Some(3.0), None), seen(None, Some(5.0)), seen(Some(0.3), None)],
    ];
    let prior = Prior::default();
    for (observations, prior) in sets.iter().flat_map(|it| [(it, None), (it, Some(&prior))]) {
        let tally = Tally::of(observations);
        let hill = Hill { tally: &tally, prior };
        for (mu, s) in [(0.0, -1.0), (0.4, -0.3), (-1.5, 0.5), (2.0, -2.5), (0.1, 2.0), (4.0, -3.0)] {
            let at = hill.at(mu, s);
            let step = 1e-5;
            let by = |(one, other): (likelihood::Slopes, likelihood::Slopes), of: fn(&likelihood::Slopes) -> f64| {
                (of(&one) - of(&other)) / (2.0 * step)
            };
            let by_mu = (hill.at(mu + step, s), hill.at(mu - step, s));
            let by_s = (hill.at(mu, s + step), hill.at(mu, s - step));
            let pairs = [
                (at.mu, by(by_mu, |it| it.value)),
                (at.s, by(by_s, |it| it.value)),
                (at.mu_mu, by(by_mu, |it| it.mu)),
                (at.mu_s, by(by_mu, |it| it.s)),
                (at.mu_s, by(by_s, |it| it.mu)),
                (at.s_s, by(by_s, |it| it.s)),
            ];
            // Differences lose to rounding of the height; what that is grows with the curvature.
            let size = 1.0 + at.mu_mu.abs() + at.s_s.abs();
            for (analytic, difference) in pairs {
                assert!((analytic - difference).abs() <= 1e-6 * size, "{mu} {s}: {analytic} {difference} {at:?}");
            }
        }
    }
}

#[test]
fn without_a_drying_the_prior_is_given_back() {
    let none = learned(&[]);
    assert_eq!((none.dryings, none.checks), (0, 0));
    // Nine in ten between half and double; the band is that of the estimate.
    close(none.likely, 1.0, 1e-9);
    close(none.low, 0.5, 1e-6);
    close(none.high, 2.0, 1e-6);
    close(none.sigma, (2.4_f64 / 0.7).ln() / (2.0 * 1.645), 1e-3);
    let (fast, slow) = none.next_drying();
    close(fast * slow, 1.0, 1e-9);
    assert!(fast < 0.6 && slow > 1.7, "{fast} {slow}");
}

#[test]
fn one_sided_dryings_pull_to_their_side_and_have_no_fit_alone() {
    let dry: Vec<Observation> = (1..=30).map(|it| seen(None, Some(0.3 + 0.01 * f64::from(it)))).collect();
    let damp: Vec<Observation> = (1..=30).map(|it| seen(Some(2.0 + 0.01 * f64::from(it)), None)).collect();
    let (low, high) = (learned(&dry), learned(&damp));
    assert!(low.likely < 0.6 && low.low < low.likely && low.likely < low.high, "{low:?}");
    assert!(high.likely > 1.7 && high.low < high.likely && high.likely < high.high, "{high:?}");
    assert_eq!(without_prior(&dry), Err(NoFit::NeverDamp));
    assert_eq!(without_prior(&damp), Err(NoFit::NeverDry));
    assert_eq!(without_prior(&[]), Err(NoFit::Nothing));
    assert_eq!(without_prior(&[between(1.0, 2.0)]), Err(NoFit::NoSpread));
    assert_eq!(without_prior(&[between(1.0, 2.0), between(2.0, 3.0)]), Err(NoFit::NoSpread));
    // Found dry early and damp late: as if they dried the other way round.
    assert_eq!(without_prior(&[seen(None, Some(1.0)), seen(Some(2.0), None)]), Err(NoFit::NoOrder));
    assert!(NoFit::NeverDamp.to_string().starts_with("no multiplier without a prior: no room was ever seen damp"));
    // Overlapping one-sided dryings have one, but nothing need bound it.
    let looks = [seen(Some(1.0), None), seen(None, Some(0.9)), seen(Some(0.8), None), seen(None, Some(3.0))];
    let fit = without_prior(&looks).unwrap();
    assert!(fit.low < fit.likely && fit.likely < fit.high && fit.sigma > 0.0, "{fit:?}");
}

#[test]
fn many_times_the_same_is_as_many_dryings() {
    let many: Vec<Observation> = dozen().iter().flat_map(|it| [*it; 10_000]).collect();
    assert_eq!(Tally::of(&many).rows(), 12);
    let (few, most) = (without_prior(&dozen()).unwrap(), without_prior(&many).unwrap());
    assert_eq!((most.dryings, most.checks), (120_000, 220_000));
    close(most.likely, few.likely, 1e-7);
    close(most.sigma, few.sigma, 1e-7);
    // The interval narrows with the root of the number.
    close((few.high / few.low).ln() / (most.high / most.low).ln(), 100.0, 0.1);
    // And nothing is left of the prior.
    close(learned(&many).likely, few.likely, 1e-4);
    close(learned(&many).sigma, few.sigma, 1e-4);
    let alike = learned(&vec![between(1.0, 1.000_002); 100_000]);
    close(alike.likely, 1.000_001, 1e-4);
    assert!(alike.sigma > 0.0 && alike.low < alike.likely && alike.likely < alike.high, "{alike:?}");
}

#[test]
fn a_ward_goes_by_its_own_dryings_once_there_are_enough() {
    let hospital = learned(&dozen());
    let slow = |number: usize| -> Vec<Observation> {
        (0..number).map(|it| between(2.0 + 0.05 * it as f64, 2.6 + 0.05 * it as f64)).collect()
    };
    assert_eq!(ward_or_hospital(&slow(ENOUGH_DRYINGS - 1), &hospital), (Whose::Hospital, hospital));
    let (whose, ward) = ward_or_hospital(&slow(ENOUGH_DRYINGS), &hospital);
    assert_eq!((whose, ward.dryings), (Whose::Ward, ENOUGH_DRYINGS));
    let alone = without_prior(&slow(ENOUGH_DRYINGS)).unwrap();
    assert!(hospital.likely < ward.likely && ward.likely < alone.likely, "{hospital:?} {ward:?} {alone:?}");
    // Never seen damp: whatever their number, they do not say how long it takes.
    let mut never_damp = vec![seen(None, Some(3.0)); 100];
    never_damp.extend(slow(ENOUGH_SEEN_DAMP - 1));
    let whose = |observations: &[Observation]| ward_or_hospital(observations, &hospital).0;
    assert_eq!(whose(&never_damp), Whose::Hospital);
    never_damp.push(between(2.0, 2.5));
    assert_eq!(whose(&never_damp), Whose::Ward);
    // Not yet dry is not seen damp and then dry.
    assert_eq!(whose(&vec![seen(Some(1.0), None); 100]), Whose::Hospital);
    assert!(
        hospital.is_grounded() && !learned(&slow(ENOUGH_SEEN_DAMP - 1)).is_grounded() && !learned(&[]).is_grounded()
    );
}

/// Anything that `Observation` lets in, extremes among it.
fn anything() -> impl Strategy<Value = Observation> {
    let log = |from: f64, to: f64| (from..to).prop_map(f64::exp);
    let near = (log(-2.0, 2.0), 1.01..3.0_f64).prop_map(|(damp, by)| between(damp, damp * by));
    let far = (log(-9.0, 8.0), log(-13.0, 0.2)).prop_map(|(damp, by)| between(damp, damp * (1.000_002 + by)));
    let open = (log(-9.2, 9.2), any::<bool>())
        .prop_map(|(at, damp)| if damp { seen(Some(at), None) } else { seen(None, Some(at)) });
    prop_oneof![3 => near, 1 => far, 1 => open]
}

/// As rooms come: an interval of one width about a time of its own.
fn usual() -> impl Strategy<Value = Observation> {
    (-1.0..1.0_f64, 0.1..0.9_f64).prop_map(|(middle, width)| between((middle - width).exp(), (middle + width).exp()))
}

fn scaled(observations: &[Observation], by: f64) -> Vec<Observation> {
    let times = |it: Option<f64>| it.map(|it| it * by);
    observations.iter().map(|it| seen(times(it.damp_at()), times(it.dry_by()))).collect()
}

proptest! {
    #[test]
    fn whatever_was_seen_has_an_answer_at_a_top(observations in prop::collection::vec(anything(), 0..25)) {
        let tally = Tally::of(&observations);
        let prior = Prior::default();
        let hill = Hill { tally: &tally, prior: Some(&prior) };
        let found = top(&hill, tally.start().unwrap_or(prior.middle()));
        prop_assert!(found.settled, "{} {} {:?}", found.mu, found.log_sigma, found.slopes);
        let at = hill.at(found.mu, found.log_sigma);
        let size = 1.0 + at.mu_mu.abs() + at.s_s.abs();
        prop_assert!(at.mu.abs() <= 1e-5 * size && at.s.abs() <= 1e-5 * size, "{at:?}");
        let it = learn(&observations, &prior);
        prop_assert!(it.low < it.likely && it.likely < it.high && it.high.is_finite() && it.low > 0.0, "{it:?}");
        prop_assert!(it.sigma > 0.0 && it.sigma.is_finite());
        let (fast, slow) = it.next_drying();
        prop_assert!(fast < it.low.max(it.likely) && slow > it.likely);
        match without_prior(&observations) {
            Ok(it) => prop_assert!(it.low < it.likely && it.likely < it.high && it.sigma > 0.0, "{it:?}"),
            Err(why) => prop_assert!(why != NoFit::NotFound, "{why}"),
        }
    }

    #[test]
    fn no_other_start_climbs_higher(
        observations in prop::collection::vec(anything(), 1..12),
        starts in prop::collection::vec((-3.0..3.0_f64, -3.0..1.0_f64), 4),
    ) {
        let (tally, prior) = (Tally::of(&observations), Prior::default());
        let hill = Hill { tally: &tally, prior: Some(&prior) };
        let it = top(&hill, tally.start().unwrap_or(prior.middle()));
        for start in starts {
            let other = top(&hill, start);
            prop_assert!(other.slopes.value <= it.slopes.value + 1e-6, "{start:?} {} {}", other.mu, it.mu);
        }
    }

    #[test]
    fn dryings_that_all_took_k_times_as_long_have_k_times_the_multiplier(
        observations in prop::collection::vec(usual(), 8..20),
        k in 0.2..5.0_f64,
    ) {
        if let Ok(it) = without_prior(&observations) {
            let other = without_prior(&scaled(&observations, k)).unwrap();
            prop_assert!((other.likely / it.likely / k - 1.0).abs() < 1e-6, "{it:?} {other:?}");
            prop_assert!((other.sigma / it.sigma - 1.0).abs() < 1e-5, "{it:?} {other:?}");
            prop_assert!((other.low / it.low / k - 1.0).abs() < 1e-5 && (other.high / it.high / k - 1.0).abs() < 1e-5);
        }
    }

    #[test]
    fn the_same_again_narrows_the_interval_and_pulls_less(observations in prop::collection::vec(usual(), 3..20)) {
        let twice = [observations.clone(), observations.clone()].concat();
        let (it, more) = (learned(&observations), learned(&twice));
        prop_assert!((more.high / more.low).ln() < (it.high / it.low).ln(), "{it:?} {more:?}");
    }

    #[test]
    fn the_pull_to_one_vanishes_with_many(observations in prop::collection::vec(usual(), 5..20)) {
        if let Ok(alone) = without_prior(&observations) {
            let off = |times| {
                let many: Vec<Observation> = observations.iter().flat_map(|it| vec![*it; times]).collect();
                (learned(&many).likely / alone.likely).ln().abs()
            };
            prop_assert!(off(100) < 0.1 && off(3000) < 0.1 * off(100).max(1e-3), "{} {} {alone:?}", off(100), off(3000));
        }
    }

    #[test]
    fn a_later_damp_check_pulls_the_multiplier_up(
        observations in prop::collection::vec(usual(), 1..20),
        part in 0.05..0.95_f64,
    ) {
        let mut later = observations.clone();
        if let Some(first) = later.first_mut() {
            let (damp, dry) = (first.damp_at().unwrap(), first.dry_by().unwrap());
            *first = between(damp * (dry / damp).powf(part), dry);
        }
        // For the same sigma m rises, always. A sigma that changes with it may take a little of that back.
        let (prior, tally, tally_later) = (Prior::default(), Tally::of(&observations), Tally::of(&later));
        let before = top(&Hill { tally: &tally, prior: Some(&prior) }, prior.middle());
        let after = Hill { tally: &tally_later, prior: Some(&prior) };
        prop_assert!(after.at(before.mu, before.log_sigma).mu > 0.0);
        let (it, more) = (learned(&observations), learned(&later));
        prop_assert!(more.likely > 0.99 * it.likely, "{it:?} {more:?}");
    }
}
