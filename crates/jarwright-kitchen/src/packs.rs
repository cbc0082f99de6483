//! Which packs to buy so that the mass needed is covered at the least price.

/// A pack on offer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// Contents [g], above 0.
    pub grams: f64,
    /// Price, 0 or more, in any one currency.
    pub price: f64,
}

/// What to take of each offer, in their order; with the mass bought [g] and the price.
#[derive(Debug, Clone, PartialEq)]
pub struct Basket {
    /// Packs of each offer.
    pub counts: Vec<u32>,
    /// Mass bought [g].
    pub grams: f64,
    /// Price.
    pub price: f64,
}

/// Most cells the needed mass is divided into; a cell is a gram until the need is larger.
const MOST_CELLS: usize = 200_000;
/// Rounding of a mass [g] that is whole grams on paper.
const HAIR_G: f64 = 1e-6;

/// Cheapest cover of `need_g`; among equal prices the one that leaves least over.
///
/// Dynamic programming on cells of a gram, masses of packs rounded down to it, so that a basket
/// never falls short: exact for packs of whole grams and needs up to 200 kg, close beyond.
/// `None` without an offer or a need.
#[must_use]
pub fn cheapest(need_g: f64, offers: &[Offer]) -> Option<Basket> {
    if !need_g.is_finite() || need_g <= 0.0 || offers.iter().any(|o| o.grams.is_nan() || o.grams <= 0.0) {
        return None;
    }
    let cell_g = (need_g / MOST_CELLS as f64).max(1.0);
    let cells = (((need_g - HAIR_G) / cell_g).ceil() as usize).max(1);
    // Packs smaller than a cell are taken by the bundle that fills one.
    let bundles: Vec<u32> = offers
        .iter()
        .map(|o| ((cell_g / o.grams).ceil() as u32).max(1))
        .collect();
    let taken: Vec<(usize, f64, f64)> = offers
        .iter()
        .zip(&bundles)
        .map(|(offer, &many)| {
            let (grams, price) = (f64::from(many) * offer.grams, f64::from(many) * offer.price);
            (
                (((grams + HAIR_G) / cell_g).floor() as usize).clamp(1, cells),
                grams,
                price,
            )
        })
        .collect();
    // best[c]: least (price, grams) that covers c cells, and the offer taken last.
    let mut best = vec![(0.0_f64, 0.0_f64, usize::MAX); cells + 1];
    for c in 1..=cells {
        best[c] = taken
            .iter()
            .enumerate()
            .map(|(i, &(step, grams, price))| {
                let before = best[c.saturating_sub(step)];
                (before.0 + price, before.1 + grams, i)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)))?;
    }
    let mut counts = vec![0; offers.len()];
    let mut c = cells;
    while c > 0 {
        let offer = best[c].2;
        counts[offer] += bundles[offer];
        c = c.saturating_sub(taken[offer].0);
    }
    Some(without_spares(need_g, offers, counts))
}

/// Puts back what a bundle took too much.
fn without_spares(need_g: f64, offers: &[Offer], mut counts: Vec<u32>) -> Basket {
    let sum = |counts: &[u32], of: fn(&Offer) -> f64| -> f64 {
        counts
            .iter()
            .zip(offers)
            .map(|(&n, offer)| f64::from(n) * of(offer))
            .sum()
    };
    for (i, offer) in offers.iter().enumerate() {
        let spare = ((sum(&counts, |o| o.grams) - need_g) / offer.grams).max(0.0).floor();
        counts[i] -= (spare as u32).min(counts[i]);
    }
    Basket {
        grams: sum(&counts, |o| o.grams),
        price: sum(&counts, |o| o.price),
        counts,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every basket up to `most` packs of each offer.
    fn by_trying(need: f64, offers: &[Offer], most: u32) -> f64 {
        match offers.split_first() {
            None => {
                if need <= 0.0 {
                    0.0
                } else {
                    f64::INFINITY
                }
            }
            Some((first, rest)) => (0..=most)
                .map(|n| f64::from(n) * first.price + by_trying(need - f64::from(n) * first.grams, rest, most))
                .fold(f64::INFINITY, f64::min),
        }
    }

    #[test]
    fn it_finds_what_trying_everything_finds() {
        let offers = [
            Offer {
                grams: 250.0,
                price: 1.1,
            },
            Offer {
                grams: 1000.0,
                price: 3.2,
            },
            Offer {
                grams: 2500.0,
                price: 8.5,
            },
        ];
        for need in [1.0, 249.0, 900.0, 1000.0, 1250.0, 2600.0, 4900.0] {
            let basket = cheapest(need, &offers);
            assert!(
                basket.is_some_and(|b| {
                    b.grams >= need - 1e-9 && (b.price - by_trying(need, &offers, 8)).abs() < 1e-9
                })
            );
        }
    }

    #[test]
    fn packs_tiny_beside_the_need_still_cover_it() {
        let crumbs = [
            Offer {
                grams: 0.4,
                price: 0.02,
            },
            Offer {
                grams: 0.5,
                price: 0.03,
            },
        ];
        for need in [0.1, 0.9, 30.0, 1e6] {
            assert!(cheapest(need, &crumbs).is_some_and(|b| b.grams >= need - 1e-6));
        }
        let mixed = [
            Offer {
                grams: 2.0,
                price: 0.01,
            },
            Offer {
                grams: 25_000.0,
                price: 300.0,
            },
        ];
        assert!(cheapest(1e6, &mixed).is_some_and(|b| b.grams >= 1e6 && (b.price - 5_000.0).abs() < 60.0));
    }

    #[test]
    fn no_offer_or_no_need_is_no_basket() {
        assert_eq!(cheapest(100.0, &[]), None);
        assert_eq!(cheapest(0.0, &[Offer { grams: 1.0, price: 1.0 }]), None);
        assert_eq!(cheapest(f64::NAN, &[Offer { grams: 1.0, price: 1.0 }]), None);
    }
}
