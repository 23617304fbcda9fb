//! What is learned from dry checks, against a survival library and against a general optimiser on the same likelihood.

use dryhold::science::learning::{Multiplier, Observation, Prior, learn, without_prior};
use serde_json::Value;

use super::outside::{Worst, number, rows};

fn observations(row: &Value) -> Vec<Observation> {
    let drying = |it: &Value| Observation::new(it[0].as_f64(), it[1].as_f64()).expect("a drying");
    row["dryings"].as_array().expect("dryings").iter().map(drying).collect()
}

/// Over all rows: by how much m and sigma differ, and by how much the ends of the interval do.
fn compared(by: &str, interval: bool, fit: impl Fn(&[Observation]) -> Multiplier) -> [Worst; 3] {
    let [mut m, mut sigma, mut ends] = <[Worst; 3]>::default();
    let rows = rows("learning.json");
    assert!(rows.len() >= 10);
    for row in &rows {
        let it = fit(&observations(row));
        let off = |found: f64, what: &str| (found / number(row, &format!("/{by}/{what}")) - 1.0).abs();
        m.see(off(it.likely, "m"), row);
        sigma.see(off(it.sigma, "sigma"), row);
        if interval {
            ends.see(off(it.low, "low").max(off(it.high, "high")), row);
        }
    }
    [m, sigma, ends]
}

fn alone(observations: &[Observation]) -> Multiplier {
    without_prior(observations).expect("a maximum")
}

#[test]
fn without_the_prior_it_is_the_fit_of_lifelines() {
    // Its search ends within 4e-5 of the top; 1 % was asked for.
    let [m, sigma, _] = compared("lifelines", false, alone);
    m.at_most(1e-4);
    sigma.at_most(1e-4);
}

#[test]
fn top_and_ends_are_those_of_a_general_optimiser() {
    // scipy on the likelihood as written down there, once alone and once times the prior, which is stated there anew.
    for (by, fit) in [
        ("scipy", &alone as &dyn Fn(&[Observation]) -> Multiplier),
        ("scipy_with_prior", &|it: &[Observation]| learn(it, &Prior::default())),
    ] {
        for worst in compared(by, true, fit) {
            worst.at_most(1e-6);
        }
    }
}
