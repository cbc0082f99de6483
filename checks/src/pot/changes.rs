//! Changes: setting, scrambling, vitamin, inversion, acid in pieces.

use jarwright_dose::{
    CUT_M2_S, Change, RateLaw, SUGAR_SHIFT_K, Shape, acid_reaches_s, activation_j_mol, inversion_rate_per_s,
    syrup_water_kg_l,
};
use jarwright_figure::Mark;
use jarwright_matter::{Acid, Food, ph};

use super::{Claim, or_miss};
use crate::{Check, Worst};

const DAY_S: f64 = 86_400.0;
/// Kelvin a minute of a pot that is heated gently.
const GENTLE_K_MIN: f64 = 1.0;

pub(super) fn milk_holder() -> Check {
    let mut worst = Worst::default();
    let joules = activation_j_mol(336.0 - 273.15, 1800.0, 347.0 - 273.15, 15.0);
    worst.add(or_miss(joules) / 1000.0, 422.0);
    Claim {
        name: "milk-holder-activation",
        claim: "30 min at 336 K and 15 s at 347 K for the same effect are 422 kJ/mol",
        source: "levenspiel",
        place: "example 2.3",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.5,
        unit: "kJ/mol",
        why: "printed to the kilojoule",
    }
    .held(&worst, "the arithmetic of every rate law here")
}

pub(super) fn sucrose_activation() -> Check {
    let mut worst = Worst::default();
    let rate = |c: f64| inversion_rate_per_s(7.0, c, 1.0);
    // Two rates in print, in neutral water, and an activation energy of another laboratory.
    let ratio = rate(37.0).and_then(|hot| Ok(hot / rate(27.0)?));
    worst.add_relative(or_miss(ratio), 8.5 / 2.1);
    let ours = rate(90.0).and_then(|hot| activation_j_mol(30.0, 1.0 / rate(30.0)?, 90.0, 1.0 / hot));
    worst.add_relative(or_miss(ours) / 1000.0, 108.0);
    Claim {
        name: "sucrose-activation",
        claim: "the inversion of sucrose quickens with heat as others found: 108 kJ/mol, fourfold from 27 to 37 °C",
        source: "sucrose_laboratory",
        place: "abstract, 108 kJ/mol; chemistry_atoms_first, problem 17.40",
        mark: Mark::Seen,
        tolerance: 0.02,
        unit: "relative",
        why: "two and three digits printed, and 109.2 kJ/mol beside 108",
    }
    .held(
        &worst,
        "a textbook's table from 24 to 40 °C gives 92 kJ/mol (chemical_principles_14_92): it clashes with all the \
         others and is not followed",
    )
}

pub(super) fn inversion_in_sugar_juice() -> Check {
    let mut worst = Worst::default();
    // log10(k min) = 16.91 + log10(W) - 5670/T - pH, made for juices of pH 5 to 8.
    for c in [80.0, 90.0, 100.0, 110.0, 120.0, 130.0] {
        for (ph, water) in [(5.0, 0.9), (7.0, 0.5)] {
            let industry = water * 10_f64.powf(16.91 - 5670.0 / (c + 273.15) - ph);
            worst.add_relative(60.0 * or_miss(inversion_rate_per_s(ph, c, water)), industry);
        }
    }
    Claim {
        name: "inversion-in-sugar-juice",
        claim: "a rate measured at room temperature in acid, carried up, is the sugar industry's at 80 to 130 °C",
        source: "vukov_1965",
        place: "its equation, pH 5 and 7",
        mark: Mark::Memory,
        tolerance: 0.05,
        unit: "relative",
        why: "activation energies of 108.6 and 109.2 kJ/mol part by 3 % between 80 and 130 °C",
    }
    .held(
        &worst,
        "the two come from different laboratories, acids and 75 K apart; the second is from memory",
    )
}

pub(super) fn inversion_in_hot_acid() -> Check {
    /// Succinic acid [% of the mass], °C, hours to "complete" in print.
    const RUNS: [(f64, f64, f64); 6] = [
        (0.5, 100.0, 1.0),
        (1.0, 100.0, 1.0),
        (3.0, 100.0, 1.0),
        (1.0, 80.0, 3.0),
        (3.0, 80.0, 2.0),
        (5.0, 80.0, 2.0),
    ];
    let share = |pct: f64, c: f64, hours: f64| -> f64 {
        let mut syrup = Food {
            water_kg: 1.0,
            sucrose_kg: 0.1,
            ..Food::default()
        };
        syrup.add_acid_kg(Acid::Succinic, 1.1 * pct / 100.0);
        let Ok(ph) = ph(&syrup, 25.0) else {
            return f64::NAN;
        };
        let rate = syrup_water_kg_l(syrup.brix()).and_then(|water| inversion_rate_per_s(ph, c, water));
        1.0 - (-or_miss(rate) * 3600.0 * hours).exp()
    };
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    for (pct, c, hours) in RUNS {
        let done = share(pct, c, hours);
        worst.add_inside(done, 0.93, 1.0);
        seen.push(format!("{:.1}", 100.0 * done));
    }
    // Half a per cent at 80 °C "was not finished until after six hours".
    worst.add_inside(share(0.5, 80.0, 4.0), 0.0, 0.97);
    worst.add_inside(share(0.5, 80.0, 6.0), 0.93, 1.0);
    Claim {
        name: "inversion-in-hot-acid",
        claim: "sucrose in 0.5 to 5 % succinic acid is inverted in the hours printed at 80 and 100 °C",
        source: "succinic_hydrolysis",
        place: "example: 100 °C one hour; 80 °C two to six hours",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "share",
        why: "\"complete\" and \"almost complete\" taken as 93 % or more",
    }
    .held(&worst, format!("the pH is computed; {} %", seen.join(", ")))
}

pub(super) fn invert_sugar_of_jam() -> Check {
    let mut worst = Worst::default();
    let mut seen = Vec::new();
    // A jam of 60 °Brix at its boil, pH 3.3 as the same pages advise.
    for share in [0.30_f64, 0.50] {
        let rate = syrup_water_kg_l(60.0).and_then(|water| inversion_rate_per_s(3.3, 103.5, water));
        let minutes = -(1.0 - share).ln() / or_miss(rate) / 60.0;
        worst.add_inside(minutes, 10.0, 40.0);
        seen.push(format!("{minutes:.0} min for {:.0} %", 100.0 * share));
    }
    Claim {
        name: "invert-sugar-of-jam",
        claim: "a good jam of pH 3.3 has 30 to 50 % of its sugar inverted by its own boil",
        source: "invert_in_jam_pages",
        place: "30 to 50 % invert sugar, about pH 3.3",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "min",
        why: "jams boil 10 to 40 min, common practice",
    }
    .held(
        &worst,
        format!(
            "{}. A measured jam had some 60 % inverted (khan_2012), jellies of 1901 between 5 and 59 %: acid and \
             minutes decide",
            seen.join(", ")
        ),
    )
}

/// Temperature [°C] at which a change has come to a share, heated steadily from 40 °C.
fn reaches_c(law: RateLaw, k_min: f64, share: f64) -> f64 {
    let (mut done, mut c) = (0.0, 40.0);
    while c < 130.0 {
        let next = c + 0.05;
        done = law.after(done, c, next, 0.05 / k_min * 60.0);
        if done >= share {
            return next;
        }
        c = next;
    }
    f64::NAN
}

pub(super) fn yolk_gels() -> Check {
    let mut worst = Worst::default();
    let law = Change::YolkSets.law();
    let mut seen = Vec::new();
    // A rheometer waits minutes at a temperature: half the yolk within 3 min to 2 h there.
    for c in [64.3, 68.8] {
        let minutes = std::f64::consts::LN_2 / law.rate_per_s(c) / 60.0;
        worst.add_inside(minutes, 3.0, 120.0);
        seen.push(format!("{minutes:.0} min at {c} °C"));
    }
    worst.add_inside(reaches_c(law, GENTLE_K_MIN, 0.5), 68.0, 72.0);
    Claim {
        name: "yolk-gels",
        claim: "plain yolk gels between 64.3 and 68.8 °C in the time of a rheometer, and by 72 °C when heated gently",
        source: "yolk_gel_2025",
        place: "summary: critical gel temperatures; hidalgo_1996: fresh yolk aggregates at 72 °C",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "min or K",
        why: "the times of observation are not printed: minutes to two hours are granted",
    }
    .held(
        &worst,
        format!(
            "half set in {}; the law's rate was set by the 72 °C, so only the 64.3 and 68.8 are free",
            seen.join(", ")
        ),
    )
}

pub(super) fn custard_sets() -> Check {
    let mut worst = Worst::default();
    let plain_c = reaches_c(Change::YolkSets.law(), GENTLE_K_MIN, 0.5);
    worst.add_inside(plain_c + SUGAR_SHIFT_K.1, 79.0, 83.0);
    Claim {
        name: "custard-sets",
        claim: "a custard heated gently sets between 79 and 83 °C",
        source: "mcgee_on_food",
        place: "custards: 175 to 185 °F, printed beside it as 79 to 83 °C",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "K",
        why: "inside the printed range; 185 °F is 85 °C, the book's own two scales differ",
    }
    .held(
        &worst,
        format!(
            "{:.1} °C with the usual shift. A curd has five times the sugar and acid besides: extrapolated",
            plain_c + SUGAR_SHIFT_K.1
        ),
    )
}

pub(super) fn custard_curdles() -> Check {
    let mut worst = Worst::default();
    let grainy_c = reaches_c(Change::EggCurdles.law(), GENTLE_K_MIN, 0.1) + SUGAR_SHIFT_K.1;
    // 5 to 10 °F over 83 to 85 °C.
    worst.add_inside(grainy_c, 83.0 + 5.0 / 1.8, 85.0 + 10.0 / 1.8);
    Claim {
        name: "custard-curdles",
        claim: "a custard turns grainy 5 to 10 °F above its setting range",
        source: "mcgee_on_food",
        place: "custards: exceed the range by 5 or 10 °F and the network collapses",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "K",
        why: "between 5 °F over the lower and 10 °F over the upper of the book's two ends",
    }
    .held(
        &worst,
        format!("a tenth scrambled at {grainy_c:.1} °C; that a tenth shows is judged"),
    )
}

pub(super) fn vitamin_at_room_temperature() -> Check {
    let mut worst = Worst::default();
    let per_h = 3600.0 * Change::AscorbicAcidLost.law().rate_per_s(32.5);
    worst.add_relative(per_h, 64.4e-3);
    Claim {
        name: "vitamin-at-room-temperature",
        claim: "ascorbic acid in juice with air goes at 32.5 °C as measured",
        source: "manso_2001",
        place: "abstract: 64.4e-3 per hour, 38.6 kJ/mol",
        mark: Mark::Seen,
        tolerance: 0.35,
        unit: "relative",
        why: "another juice, and a law measured at 75 to 95 °C carried down by 50 K",
    }
    .held(
        &worst,
        "without air it is a hundred times slower: concentrates kept 8 weeks at 28 °C held 54 to 84 % (burdurlu_2006); \
         and at 120 to 150 °C squeezed oranges had z 27 °C (vandenbroeck_1998). No single law holds for all three",
    )
}

pub(super) fn vitamin_in_a_jam() -> Check {
    let mut worst = Worst::default();
    let law = Change::AscorbicAcidLost.law();
    let minutes = -f64::ln(1.0 - 0.30) / law.rate_per_s(100.0) / 60.0;
    worst.add_inside(minutes, 15.0, 60.0);
    Claim {
        name: "vitamin-in-a-jam",
        claim: "about 30 % of the vitamin C of fruit is lost in making jam",
        source: "fao_preserves",
        place: "section 8.6.1",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "min",
        why: "softening and boiling together take 15 to 60 min",
    }
    .held(
        &worst,
        format!("{minutes:.0} min at 100 °C lose that much: a long boil, so the law is rather slow"),
    )
}

pub(super) fn diffusion_half_times() -> Check {
    let mut worst = Worst::default();
    // Half taken up: D t/l² = 0.0492 for a sheet of thickness l; 0.0631 and 0.0305 on the radius.
    for (shape, fourier) in [
        (Shape::Slab, 0.0492 * 4.0),
        (Shape::Cylinder, 0.0631),
        (Shape::Sphere, 0.0305),
    ] {
        worst.add(or_miss(acid_reaches_s(shape, 0.01, 1e-9, 0.5)) * 1e-9 / 1e-4, fourier);
    }
    Claim {
        name: "diffusion-half-times",
        claim: "times to take up half in sheet, cylinder and sphere",
        source: "crank_1975",
        place: "half times of sorption",
        mark: Mark::Memory,
        tolerance: 4e-4,
        unit: "Fourier number",
        why: "printed to three digits",
    }
    .held(&worst, "from memory")
}

pub(super) fn porous_pieces() -> Check {
    let mut worst = Worst::default();
    let days = |d| or_miss(acid_reaches_s(Shape::Sphere, 0.012, d, 0.9)) / DAY_S;
    let (slow, usual, quick) = (days(CUT_M2_S.0), days(CUT_M2_S.1), days(CUT_M2_S.2));
    worst.add_answer(quick <= 1.0 && slow >= 1.0);
    worst.add_inside(usual, 0.5, 2.0);
    Claim {
        name: "acid-into-mushrooms",
        claim: "mushrooms in acetic brine are at their equilibrium pH in about a day",
        source: "acid_equilibrium_pickles",
        place: "abstract: mushrooms about 1 day",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "days",
        why: "the band holds a day, its middle within a factor of two",
    }
    .held(
        &worst,
        format!("balls of 24 mm (size judged): {quick:.1} to {slow:.1} days, {usual:.1} usual"),
    )
}

pub(super) fn skins() -> Check {
    let mut worst = Worst::default();
    // What the onions' 15 days say of a skinned piece of 10 mm, put to peppers of 15 mm.
    let onion = or_miss(acid_reaches_s(Shape::Sphere, 0.010, 1e-10, 0.9)) * 1e-10 / (15.0 * DAY_S);
    let pepper_days = or_miss(acid_reaches_s(Shape::Sphere, 0.015, onion, 0.9)) / DAY_S;
    worst.add_relative(pepper_days, 30.0);
    let cut_days = or_miss(acid_reaches_s(Shape::Sphere, 0.010, CUT_M2_S.0, 0.9)) / DAY_S;
    Claim {
        name: "acid-through-skins",
        claim: "whole cherry peppers take 30 days where pearl onions take 15, by the square of their size",
        source: "acid_equilibrium_pickles",
        place: "abstract: pearl onions about 15 days, cherry peppers about 30 days",
        mark: Mark::Seen,
        tolerance: 0.2,
        unit: "relative",
        why: "radii of 10 and 15 mm are judged",
    }
    .held(
        &worst,
        format!(
            "a miss besides: by the diffusivities of cut pieces the onions would be there in {cut_days:.1} days at \
             the latest, not 15. Skins and layers hold the acid back {:.0} times and are in no law here",
            CUT_M2_S.0 / onion
        ),
    )
}

pub(super) fn pickled_eggs() -> Check {
    let mut worst = Worst::default();
    // A ball of an egg's 22 mm: what diffusivities the printed 23.5 and 220 h ask for.
    let asks = |hours: f64| or_miss(acid_reaches_s(Shape::Sphere, 0.022, 1e-9, 0.9)) * 1e-9 / (3600.0 * hours);
    worst.add_answer(asks(23.5) < 1.5 * CUT_M2_S.2);
    worst.add_answer(asks(220.0) > CUT_M2_S.0);
    Claim {
        name: "acid-into-pickled-eggs",
        claim: "yolk centres of pickled eggs reach pH 4.6 in 23.5 to 220 h: diffusivities between tissue and water",
        source: "pickled_eggs_2018",
        place: "paper: 7.5 and 2.5 % acetic brine",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "wrong answers",
        why: "the band's ends, half as much again granted for the pH's own curve",
    }
    .held(&worst, format!("{:.1e} and {:.1e} m²/s", asks(23.5), asks(220.0)))
}
