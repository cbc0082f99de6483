//! Sugar solutions: density, refractive index, freezing.

use jarwright_figure::Mark;
use jarwright_matter::{Food, food_freezes_c, refractive_index, sucrose_density_kg_m3};

use super::{Claim, or_nan, syrup};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        crc_density(),
        laliberte_density(),
        icumsa_index(),
        sucrose_freezes(),
        ice_science(),
        fruit_freezes(),
    ]
}

const CRC_DENSITY: [(f64, f64); 21] = [
    (0.0, 998.2),
    (1.0, 1002.1),
    (5.0, 1017.8),
    (7.0, 1025.9),
    (10.0, 1038.1),
    (13.0, 1050.7),
    (16.0, 1063.5),
    (19.0, 1076.6),
    (24.0, 1099.0),
    (30.0, 1127.0),
    (36.0, 1156.2),
    (40.0, 1176.5),
    (46.0, 1207.9),
    (52.0, 1240.6),
    (58.0, 1274.7),
    (60.0, 1286.4),
    (64.0, 1310.3),
    (66.0, 1322.4),
    (70.0, 1347.2),
    (78.0, 1398.6),
    (84.0, 1438.3),
];

fn crc_density() -> Check {
    let mut worst = Worst::default();
    for (brix, printed) in CRC_DENSITY {
        worst.add_relative(or_nan(sucrose_density_kg_m3(brix, 20.0), |rho| rho), printed);
    }
    Claim {
        name: "sucrose-density-handbook",
        claim: "sucrose solutions have the handbook's density at 20 °C, 0 to 84 °Brix",
        source: "crc_handbook",
        place: "concentrative properties of aqueous solutions, sucrose",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.001,
        unit: "1",
        why: "finer than a kitchen scale and jug",
    }
    .held(
        &worst,
        "the curve was fitted to this table: the check guards it against slips",
    )
}

fn laliberte_density() -> Check {
    let mut worst = Worst::default();
    for (brix, at_c, printed) in [
        (10.0, 20.0, 1038.2),
        (30.0, 20.0, 1126.9),
        (40.0, 20.0, 1176.3),
        (10.0, 40.0, 1031.6),
        (20.0, 40.0, 1073.7),
        (30.0, 40.0, 1118.8),
        (40.0, 40.0, 1167.4),
        (50.0, 40.0, 1219.8),
    ] {
        worst.add_relative(or_nan(sucrose_density_kg_m3(brix, at_c), |rho| rho), printed);
    }
    Claim {
        name: "sucrose-density-laliberte",
        claim: "sucrose solutions expand with temperature as a second equation says, 20 and 40 °C",
        source: "laliberte_2009",
        place: "thermo 0.6.1",
        mark: Mark::Computed,
        tolerance: 0.001,
        unit: "1",
        why: "finer than a kitchen scale and jug",
    }
    .held(&worst, "the expansion coefficient comes from the 40 °C values")
}

const ICUMSA: [(f64, f64); 27] = [
    (1.0, 1.334_42),
    (2.5, 1.336_59),
    (5.0, 1.340_26),
    (7.5, 1.344_01),
    (10.0, 1.347_82),
    (12.0, 1.350_93),
    (15.0, 1.355_68),
    (18.0, 1.360_54),
    (22.0, 1.367_20),
    (26.0, 1.374_06),
    (30.0, 1.381_15),
    (34.0, 1.388_46),
    (38.0, 1.396_00),
    (42.0, 1.403_78),
    (46.0, 1.411_81),
    (50.0, 1.420_09),
    (54.0, 1.428_63),
    (58.0, 1.437_43),
    (62.0, 1.446_50),
    (65.0, 1.453_48),
    (67.5, 1.459_41),
    (70.0, 1.465_46),
    (72.0, 1.470_37),
    (74.0, 1.475_35),
    (76.0, 1.480_40),
    (78.0, 1.485_52),
    (85.0, 1.503_98),
];

fn icumsa_index() -> Check {
    let mut worst = Worst::default();
    for (brix, printed) in ICUMSA {
        worst.add(or_nan(refractive_index(brix), |n| n), printed);
    }
    Claim {
        name: "refractive-index-icumsa",
        claim: "sucrose solutions have the ICUMSA refractive index between the rows the curve was laid through",
        source: "icumsa_1974",
        place: "n_D at 20 °C, 1 to 85 °Brix, as carried by chemicals 1.5.2",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.000_01,
        unit: "1",
        why: "one unit of the last printed digit, 0.007 °Brix",
    }
    .held(
        &worst,
        "the curve knows 0, 20, 40, 60, 80 and 84 °Brix; none of them is compared",
    )
}

fn sucrose_freezes() -> Check {
    let mut worst = Worst::default();
    for (brix, printed) in [(10.0, 0.63), (20.0, 1.46), (30.0, 2.64), (40.0, 4.45)] {
        worst.add_relative(or_nan(food_freezes_c(&syrup(brix)), |c| -c), printed);
    }
    Claim {
        name: "sucrose-freezing-handbook",
        claim: "sucrose solutions freeze where the handbook says",
        source: "crc_handbook",
        place: "freezing-point depression of sucrose, 10 to 40 %",
        mark: Mark::Memory,
        tolerance: 0.035,
        unit: "1",
        why: "the water activity of 25 °C is used at the freezing point",
    }
    .held(
        &worst,
        "several web pages print -1.86 °C for 10 %: they read 10 % as 1 mol/kg",
    )
}

fn ice_science() -> Check {
    let mut worst = Worst::default();
    worst.add(or_nan(food_freezes_c(&syrup(12.0)), |c| c), -0.77);
    Claim {
        name: "sucrose-freezing-12-percent",
        claim: "12 % sucrose freezes at -0.77 °C",
        source: "clarke_ice_cream",
        place: "freezing point of a sucrose solution",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.01,
        unit: "°C",
        why: "printed to 0.01 °C",
    }
    .held(&worst, "")
}

fn fruit_freezes() -> Check {
    let mut worst = Worst::default();
    // Simple sugars in the water, mol/kg, from the source's own prediction by 1.858 K kg/mol.
    for (predicted, measured) in [(0.98, -0.9), (1.89, -1.6), (1.63, -1.5), (1.44, -1.1), (0.51, -0.3)] {
        let fruit = Food {
            water_kg: 1.0,
            hexose_kg: predicted / 1.858 * 0.180_156,
            ..Food::default()
        };
        worst.add(or_nan(food_freezes_c(&fruit), |c| c), measured);
    }
    Claim {
        name: "fruit-freezing-points",
        claim: "strawberry, grape, apple, plum and cherry tomato begin to freeze where measured, from their sugars alone",
        source: "korean_freezing_2016",
        place: "table 2",
        mark: Mark::Seen,
        tolerance: 0.4,
        unit: "°C",
        why: "measured to 0.2 °C; the source's own prediction from sugars misses by up to 0.34",
    }
    .held(&worst, "")
}
