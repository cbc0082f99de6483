//! Juices: what a refractometer shows, densities, and measured thermal properties.

use jarwright_figure::Mark;
use jarwright_matter::{
    Food, Thermal, acid_correction, brix_from_refractive_index, refractometer_reading, temperature_correction, thermal,
};

use super::{Claim, or_nan};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![kimball(), honey_reads(), oiv_row(), brine_density(), lemon_juice()]
}

fn kimball() -> Check {
    let mut worst = Worst::default();
    for (acid, printed) in [
        (0.1, 0.02),
        (0.5, 0.10),
        (1.5, 0.30),
        (2.5, 0.49),
        (3.5, 0.68),
        (4.5, 0.87),
        (6.0, 1.15),
        (8.0, 1.54),
        (9.0, 1.72),
        (12.0, 2.27),
        (13.0, 2.46),
        (16.0, 3.00),
        (18.0, 3.35),
        (22.0, 4.05),
    ] {
        worst.add(or_nan(acid_correction(acid), |c| c), printed);
    }
    Claim {
        name: "acid-correction-of-brix",
        claim: "what is added to a reading for 0.1 to 22 % of citric acid is the printed correction",
        source: "kimball_acid_corrections",
        place: "rows between those the line was laid through",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.02,
        unit: "°Brix",
        why: "printed to 0.01, interpolated between rows as rounded",
    }
    .held(&worst, "")
}

fn honey_reads() -> Check {
    let mut worst = Worst::default();
    for (moisture, index) in [
        (15.0, 1.4992),
        (16.0, 1.4966),
        (17.0, 1.4940),
        (18.0, 1.4915),
        (19.0, 1.4890),
        (20.0, 1.4865),
    ] {
        let solids_kg = 0.01 * (100.0 - moisture);
        // Fourteen fifteenths of a honey's solids are glucose and fructose.
        let honey = Food {
            water_kg: 0.01 * moisture,
            hexose_kg: 0.93 * solids_kg,
            other_sugar_kg: 0.07 * solids_kg,
            ..Food::default()
        };
        worst.add(
            or_nan(refractometer_reading(&honey), |r| r),
            or_nan(brix_from_refractive_index(index), |b| b),
        );
    }
    Claim {
        name: "honey-reads-less-than-its-solids",
        claim: "honey of 15 to 20 % water reads on a sugar scale what its printed refractive index says, 1.7 below its solids",
        source: "honey_index_table",
        place: "refractive index at 20 °C against moisture",
        mark: Mark::Memory,
        tolerance: 0.3,
        unit: "°Brix",
        why: "the table is an average of honeys; it is printed to 0.0001, which is 0.04 °Brix",
    }
    .held(&worst, "holds the 0.022 °Brix by which a percent of invert sugar reads less")
}

fn oiv_row() -> Check {
    let mut worst = Worst::default();
    for (reading, printed) in [
        (10.0, -0.20),
        (15.0, -0.20),
        (20.0, -0.21),
        (25.0, -0.21),
        (30.0, -0.22),
        (35.0, -0.22),
        (40.0, -0.23),
        (45.0, -0.23),
        (50.0, -0.23),
    ] {
        worst.add(or_nan(temperature_correction(reading, 17.0), |c| c), printed);
    }
    Claim {
        name: "refractometer-temperature-17-c",
        claim: "a reading at 17 °C is corrected as printed, though the program has no row for 17 °C",
        source: "oiv_as2_02",
        place: "table I, row 17 °C",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.01,
        unit: "°Brix",
        why: "printed to 0.01",
    }
    .held(&worst, "")
}

fn brine_density() -> Check {
    let mut worst = Worst::default();
    for (percent, printed) in [
        (5.0, 1033.9),
        (10.0, 1070.8),
        (15.0, 1108.8),
        (20.0, 1148.1),
        (25.0, 1188.5),
    ] {
        let brine = Food {
            water_kg: 1.0 - 0.01 * percent,
            salt_kg: 0.01 * percent,
            ..Food::default()
        };
        worst.add_relative(or_nan(thermal(&brine, 20.0), |t| t.density_kg_m3), printed);
    }
    Claim {
        name: "brine-density-laliberte",
        claim: "brine of 5 to 25 % is at most a fiftieth lighter than a second equation says, salt being counted as ash",
        source: "laliberte_2009",
        place: "thermo 0.6.1, sodium chloride at 20 °C",
        mark: Mark::Computed,
        tolerance: 0.02,
        unit: "1",
        why: "dissolved salt draws water together, which volumes that add do not know: 1.2 % at 10 %, 1.8 % at 25 %",
    }
    .held(&worst, "a miss of the mixing model; pickling brines hold 5 % and less, where it is 0.8 %")
}

/// A juice of sugars in water.
fn juice(water: f64) -> Food {
    Food {
        water_kg: water,
        sucrose_kg: 1.0 - water,
        ..Food::default()
    }
}

fn property(water: f64, at_c: f64, take: impl FnOnce(Thermal) -> f64) -> f64 {
    or_nan(thermal(&juice(water), at_c), take)
}

fn lemon_juice() -> Check {
    let mut worst = Worst::default();
    let (thin, thick, cold, hot) = (0.900, 0.381, 0.3, 80.6);
    worst.add_relative(property(thick, cold, |t| t.conductivity_w_mk), 0.344);
    worst.add_relative(property(thin, hot, |t| t.conductivity_w_mk), 0.624);
    worst.add_relative(property(thick, cold, |t| t.heat_capacity_j_kgk), 2446.5);
    worst.add_relative(property(thin, hot, |t| t.heat_capacity_j_kgk), 4060.1);
    worst.add_relative(property(thick, cold, |t| t.diffusivity_m2_s()), 0.1160e-6);
    worst.add_relative(property(thin, hot, |t| t.diffusivity_m2_s()), 0.1785e-6);
    Claim {
        name: "lemon-juice-measured",
        claim: "lemon juice of 38 to 90 % water, 0 to 81 °C, has the conductivity, heat capacity and diffusivity measured at the two ends",
        source: "minim_2009",
        place: "abstract: least and greatest values",
        mark: Mark::Seen,
        tolerance: 0.15,
        unit: "1",
        why: "the abstract gives the ends of the ranges, taken as thick and cold or thin and hot; solids taken as sugar",
    }
    .held(
        &worst,
        "densities of the same abstract, 962 to 1283 kg/m³, are left out: juice of 10 % solids cannot be lighter than water",
    )
}
