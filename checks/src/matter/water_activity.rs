//! Water activity: sucrose, salt, saturated solutions, honey.

use jarwright_figure::Mark;
use jarwright_matter::{Food, water_activity};

use super::{Claim, or_nan, syrup};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        robinson_stokes_sucrose(),
        saturated_sucrose(),
        robinson_stokes_salt(),
        salt_libraries(),
        saturated_salt(),
        limits_in_water_phase(),
        jams(),
        solute_pairs(),
        honey(),
    ]
}

fn aw(food: &Food) -> f64 {
    or_nan(water_activity(food), |aw| aw)
}

/// Sodium chloride in 1 kg of water.
fn brine(molal: f64) -> Food {
    Food {
        water_kg: 1.0,
        salt_kg: molal * 0.058_443,
        ..Food::default()
    }
}

fn brine_pct(percent: f64) -> Food {
    Food {
        water_kg: 1.0 - percent / 100.0,
        salt_kg: percent / 100.0,
        ..Food::default()
    }
}

fn robinson_stokes_sucrose() -> Check {
    let mut worst = Worst::default();
    for (brix, printed) in [
        (10.0, 0.9940),
        (30.0, 0.9753),
        (40.0, 0.9594),
        (50.0, 0.9349),
        (56.0, 0.9134),
        (60.0, 0.8949),
        (64.0, 0.8721),
        (65.0, 0.8656),
        (66.0, 0.8587),
        (67.5, 0.8477),
    ] {
        worst.add(aw(&syrup(brix)), printed);
    }
    Claim {
        name: "water-activity-sucrose",
        claim: "sucrose solutions to saturation have the isopiestic water activity at 25 °C",
        source: "robinson_stokes_1961",
        place: "osmotic coefficients to 6 mol/kg",
        mark: Mark::Memory,
        tolerance: 0.003,
        unit: "a_w",
        why: "half of what a good dew-point instrument resolves",
    }
    .held(
        &worst,
        "another equation fitted to isopiestic measurements; its coefficients are from memory",
    )
}

fn saturated_sucrose() -> Check {
    let mut worst = Worst::default();
    worst.add(aw(&syrup(67.89)), 0.848);
    Claim {
        name: "water-activity-saturated-sucrose",
        claim: "saturated sucrose at 25 °C, 67.89 %, has the printed water activity",
        source: "fao_preserves",
        place: "greatest sucrose in the liquid phase and its water activity",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.005,
        unit: "a_w",
        why: "isopiestic measurements put 0.848 at 67.5 %, which is 0.4 % less sugar",
    }
    .held(&worst, "still room for moulds and yeasts that stand sugar")
}

fn robinson_stokes_salt() -> Check {
    let mut worst = Worst::default();
    for (molal, phi) in [
        (0.1, 0.9324),
        (1.0, 0.9355),
        (3.0, 1.0453),
        (5.0, 1.1916),
        (6.0, 1.2706),
    ] {
        let printed = f64::exp(-0.018_015 * 2.0 * molal * phi);
        worst.add(aw(&brine(molal)), printed);
    }
    Claim {
        name: "water-activity-salt-handbook",
        claim: "sodium chloride solutions have the water activity of tabulated osmotic coefficients",
        source: "robinson_stokes_1959",
        place: "osmotic coefficients of NaCl at 25 °C",
        mark: Mark::Memory,
        tolerance: 0.001,
        unit: "a_w",
        why: "spread between compilations",
    }
    .held(&worst, "")
}

fn salt_libraries() -> Check {
    let mut worst = Worst::default();
    for (molal, values) in [
        (0.1, [0.996_65, 0.996_65, 0.996_65]),
        (0.5, [0.983_53, 0.983_58, 0.983_52]),
        (1.0, [0.966_83, 0.966_93, 0.966_78]),
        (3.0, [0.893_18, 0.892_70, 0.892_93]),
        (6.0, [0.759_21, 0.759_77, 0.759_97]),
    ] {
        for value in values {
            worst.add(aw(&brine(molal)), value);
        }
    }
    Claim {
        name: "water-activity-salt-libraries",
        claim: "sodium chloride solutions have the water activity that three libraries give",
        source: "phreeqc",
        place: "PHREEQC pitzer.dat, aquasol 1.8.2 (Clegg), pyEQL 1.7.0",
        mark: Mark::Computed,
        tolerance: 0.001,
        unit: "a_w",
        why: "the libraries differ by 0.0008 among themselves",
    }
    .held(&worst, "")
}

fn saturated_salt() -> Check {
    let mut worst = Worst::default();
    worst.add(aw(&brine(6.146)), 0.7530);
    Claim {
        name: "water-activity-saturated-salt",
        claim: "saturated sodium chloride at 25 °C has the humidity used to calibrate instruments",
        source: "greenspan_1977",
        place: "equation for NaCl",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0015,
        unit: "a_w",
        why: "the source states 0.12 % of humidity; solubility 35.92 g in 100 g water adds the rest",
    }
    .held(&worst, "solubility from memory")
}

fn limits_in_water_phase() -> Check {
    let mut worst = Worst::default();
    worst.add(aw(&brine_pct(3.5)), 0.98);
    worst.add(aw(&syrup(26.0)), 0.98);
    worst.add_inside(aw(&brine_pct(17.0)), 0.85, 0.93);
    Claim {
        name: "water-activity-limits-in-water-phase",
        claim: "3.5 % salt or 26 % sucrose in the water phase is the 0.98 limit; 17 % salt is in the 0.85 to 0.93 group",
        source: "ny_agriculture_aw",
        place: "groups of foods by water activity",
        mark: Mark::Seen,
        tolerance: 0.005,
        unit: "a_w",
        why: "printed to two decimals",
    }
    .held(&worst, "")
}

fn jams() -> Check {
    let mut worst = Worst::default();
    // A fifth to three fifths of the sucrose split, as in boiled jams, with 0.8 % of fruit acid.
    for brix in [66.0, 68.0, 70.0] {
        for split in [0.2, 0.4, 0.6] {
            let mut jam = syrup(brix);
            jam.add_acid_kg(jarwright_matter::Acid::Citric, 0.008);
            worst.add_inside(or_nan(jam.inverted(split), |jam| aw(&jam)), 0.60, 0.85);
        }
    }
    Claim {
        name: "water-activity-jams",
        claim: "jams of 66 to 70 °Brix with a fifth or more of their sucrose split lie in the group of jams and jellies, 0.60 to 0.85",
        source: "ny_agriculture_aw",
        place: "groups of foods by water activity: jams, jellies, dried fruit, molasses",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "a_w",
        why: "inside the printed group",
    }
    .held(
        &worst,
        "with none split a jam of 66 °Brix has 0.855, outside the group: seen first, and why the claim names the split. Another list prints 0.75 to 0.80 for jam and marmalade",
    )
}

fn solute_pairs() -> Check {
    let mut worst = Worst::default();
    for (printed, salt, sucrose) in [
        (0.98, 3.43, 26.1),
        (0.96, 6.57, 39.7),
        (0.94, 9.38, 48.2),
        (0.92, 11.9, 54.4),
        (0.90, 14.2, 58.5),
        (0.85, 19.1, 67.2),
    ] {
        worst.add(aw(&brine_pct(salt)), printed);
        worst.add(aw(&syrup(sucrose)), printed);
    }
    Claim {
        name: "water-activity-pair-table",
        claim: "the classic table of salt and sugar strengths of equal water activity holds",
        source: "aw_pair_table",
        place: "0.98 to 0.85",
        mark: Mark::Memory,
        tolerance: 0.005,
        unit: "a_w",
        why: "printed to two decimals",
    }
    .held(&worst, "")
}

fn honey() -> Check {
    let mut worst = Worst::default();
    // 17.1 % water and 82.1 % sugars: 75.3 simple, 0.9 sucrose, the rest of two rings.
    let honey = Food {
        water_kg: 0.171,
        hexose_kg: 0.766,
        sucrose_kg: 0.009,
        other_sugar_kg: 0.046,
        protein_kg: 0.003,
        ash_kg: 0.002,
        ..Food::default()
    };
    worst.add_inside(aw(&honey), 0.470, 0.563);
    Claim {
        name: "water-activity-honey",
        claim: "a honey of 17.1 % water lies in the range measured on 706 flower honeys of 15.0 to 20.4 %",
        source: "serin_honey",
        place: "range of water activity",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "a_w",
        why: "the measured range is the tolerance",
    }
    .held(&worst, "composition of usda_sr28 19296, its sugars split as is usual")
}
