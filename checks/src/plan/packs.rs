//! Which packs to buy.

use jarwright_figure::Mark;
use jarwright_kitchen::packs::{Offer, cheapest};

use super::Claim;
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![cheapest_packs()]
}

const NEEDS_G: [f64; 7] = [90.0, 250.0, 1400.0, 2680.0, 3873.0, 7872.0, 12_345.0];

/// Packs on offer (g, price) and the least price for each of [`NEEDS_G`].
type Row = (&'static [(f64, f64)], [f64; 7]);

/// As printed by `referee/cheapest_cover.py`.
const ROWS: [Row; 4] = [
    (
        &[(250.0, 1.10), (1000.0, 3.20), (2500.0, 8.50)],
        [1.10, 1.10, 5.40, 9.60, 12.80, 25.60, 40.50],
    ),
    (
        &[(454.0, 4.80), (907.0, 9.10), (113.0, 1.45)],
        [1.45, 4.35, 15.35, 27.30, 40.75, 80.50, 124.55],
    ),
    (
        &[(10_000.0, 13.90), (2000.0, 2.70), (500.0, 0.85)],
        [0.85, 0.85, 2.55, 4.40, 5.40, 10.80, 17.05],
    ),
    (
        &[(946.0, 6.20), (355.0, 2.65), (118.0, 1.15), (3785.0, 23.40)],
        [1.15, 2.65, 10.00, 18.60, 24.55, 49.45, 77.55],
    ),
];

fn cheapest_packs() -> Check {
    let mut worst = Worst::default();
    for (packs, prices) in ROWS {
        let offers: Vec<Offer> = packs.iter().map(|&(grams, price)| Offer { grams, price }).collect();
        for (need, price) in NEEDS_G.into_iter().zip(prices) {
            let basket = cheapest(need, &offers);
            worst.add(basket.as_ref().map_or(f64::NAN, |basket| basket.price), price);
            worst.add_answer(basket.is_some_and(|basket| basket.grams >= need));
        }
    }
    Claim {
        name: "cheapest-packs",
        claim: "no cheaper set of whole packs covers the need",
        source: "scipy_milp",
        place: "scipy.optimize.milp, four sets of packs, seven needs",
        mark: Mark::Computed,
        tolerance: 0.005,
        unit: "money",
        why: "printed to a hundredth",
    }
    .held(&worst, "")
}
