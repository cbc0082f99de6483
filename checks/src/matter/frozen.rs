//! Fruit and syrup below zero: where they freeze, how much is ice, what heat they hold.

use jarwright_figure::{Graph, Mark, Unit};
use jarwright_kitchen::mixture::Mixture;
use jarwright_matter::{Food, Mixing, food_freezes_c, frozen, ice_kg, thermal, thermal_with_ice};

use super::{Claim, or_nan, syrup};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        fruit_list(),
        fruit_measured(),
        glucose_freezes(),
        ethanol_freezes(),
        molal_constant(),
        syrup_ice(),
        fruit_heat_above(),
        fruit_heat_below(),
        pork(),
    ]
}

/// A kilogram of an ingredient as the program's own table has it.
fn ingredient(name: &str) -> Food {
    let mut graph = Graph::new();
    let mass = graph.entered("mass", "mass", Unit::Gram, 1000.0, "check");
    jarwright_reference::ingredient(name)
        .and_then(|row| Mixture::new(&mut graph, &[row]).ok())
        .map_or_else(Food::default, |mixture| mixture.nominal(&graph, &[mass]))
}

/// Fruit with printed freezing point [°F] and heat capacity above and below freezing [Btu/(lb °F)].
const FRUIT: [(&str, f64, f64, f64); 10] = [
    ("apple", 30.0, 0.91, 0.47),
    ("apricot", 30.0, 0.92, 0.47),
    ("blackberries", 30.6, 0.93, 0.46),
    ("blueberries", 29.1, 0.91, 0.49),
    ("sour cherries", 28.9, 0.92, 0.49),
    ("cranberries", 30.4, 0.93, 0.46),
    ("orange", 30.6, 0.91, 0.47),
    ("peach", 30.4, 0.93, 0.45),
    ("raspberries", 30.9, 0.95, 0.46),
    ("strawberries", 30.6, 0.96, 0.44),
];

const FAHRENHEIT_PER_K: f64 = 1.8;
/// Btu/(lb °F) in J/(kg K).
const BTU_LB_F: f64 = 4186.8;

fn fruit_list() -> Check {
    let mut worst = Worst::default();
    for (name, freezes_f, ..) in FRUIT {
        worst.add(
            or_nan(food_freezes_c(&ingredient(name)), |c| c),
            (freezes_f - 32.0) / FAHRENHEIT_PER_K,
        );
    }
    Claim {
        name: "fruit-freezing-list",
        claim: "ten fruits begin to freeze where the refrigeration list prints, from the ingredient table's sugars and acids",
        source: "fruit_freezing_list",
        place: "freezing points of apples to strawberries; composition usda_sr28",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.5,
        unit: "K",
        why: "ripeness alone moves a fruit's sugars by a third; the list prints the highest freezing point met",
    }
    .held(&worst, "")
}

fn fruit_measured() -> Check {
    let mut worst = Worst::default();
    for (name, measured) in [
        ("strawberries", -0.9),
        ("apple", -1.5),
        ("plum", -1.1),
        ("peach", -0.8),
        ("pear", -1.5),
        ("cucumber", -0.5),
    ] {
        worst.add(or_nan(food_freezes_c(&ingredient(name)), |c| c), measured);
    }
    Claim {
        name: "fruit-freezing-measured",
        claim: "six fruits begin to freeze where measured, from the ingredient table's sugars and acids",
        source: "korean_freezing_2016",
        place: "table 2; composition usda_sr28",
        mark: Mark::Seen,
        tolerance: 0.5,
        unit: "K",
        why: "measured to 0.2 °C on fruit of its own sugars",
    }
    .held(
        &worst,
        "the minerals of the fruit, 0.03 mol/kg of potassium, are counted by the charge its pH asks for",
    )
}

fn hexose(percent: f64) -> Food {
    Food {
        water_kg: 1.0 - 0.01 * percent,
        hexose_kg: 0.01 * percent,
        ..Food::default()
    }
}

fn glucose_freezes() -> Check {
    let mut worst = Worst::default();
    for (percent, printed) in [(5.0, 0.55), (10.0, 1.16)] {
        worst.add(or_nan(food_freezes_c(&hexose(percent)), |c| -c), printed);
    }
    Claim {
        name: "glucose-freezing-handbook",
        claim: "glucose solutions freeze where the handbook says",
        source: "crc_handbook",
        place: "freezing-point depression of D-glucose, 5 and 10 %",
        mark: Mark::Memory,
        tolerance: 0.02,
        unit: "K",
        why: "printed to 0.01 K, from memory",
    }
    .held(&worst, "")
}

fn ethanol_freezes() -> Check {
    let mut worst = Worst::default();
    for (percent, printed) in [(5.0, 2.09), (10.0, 4.47)] {
        let food = Food {
            water_kg: 1.0 - 0.01 * percent,
            alcohol_kg: 0.01 * percent,
            ..Food::default()
        };
        worst.add_relative(or_nan(food_freezes_c(&food), |c| -c), printed);
    }
    Claim {
        name: "ethanol-freezing-handbook",
        claim: "ethanol to 10 %, taken as ideal, freezes where the handbook says",
        source: "crc_handbook",
        place: "freezing-point depression of ethanol, 5 and 10 %",
        mark: Mark::Memory,
        tolerance: 0.025,
        unit: "1",
        why: "ethanol is not quite ideal",
    }
    .held(&worst, "at 20 % the handbook prints 10.92 K and the program finds 9.6")
}

fn molal_constant() -> Check {
    let mut worst = Worst::default();
    let dilute = Food {
        water_kg: 1.0,
        hexose_kg: 0.01 * 0.180_156,
        ..Food::default()
    };
    worst.add(or_nan(food_freezes_c(&dilute), |c| -c / 0.01), 1.858);
    Claim {
        name: "cryoscopic-constant",
        claim: "a dilute solution freezes by the printed molal constant of water",
        source: "korean_freezing_2016",
        place: "1.858 °C kg/mol",
        mark: Mark::Seen,
        tolerance: 0.003,
        unit: "K·kg/mol",
        why: "printed to 0.001; 0.01 mol/kg is not quite dilute",
    }
    .held(&worst, "")
}

fn syrup_ice() -> Check {
    let mut worst = Worst::default();
    for (at_c, share) in [(-2.0, 0.25), (-5.0, 0.67), (-10.0, 0.82), (-18.0, 0.89)] {
        worst.add(or_nan(ice_kg(&syrup(20.0), at_c), |kg| kg / 0.8), share);
    }
    Claim {
        name: "ice-in-syrup",
        claim: "a syrup of 20 % sucrose holds the share of ice another model of its activity gives, -2 to -18 °C",
        source: "robinson_stokes_1961",
        place: "equilibrium with the osmotic coefficients, calculated apart",
        mark: Mark::Computed,
        tolerance: 0.01,
        unit: "1",
        why: "stated to 0.01",
    }
    .held(&worst, "")
}

fn fruit_heat_above() -> Check {
    let mut worst = Worst::default();
    for (name, _, above, _) in FRUIT {
        worst.add_relative(
            or_nan(thermal(&ingredient(name), 5.0), |t| t.heat_capacity_j_kgk),
            above * BTU_LB_F,
        );
    }
    Claim {
        name: "fruit-heat-capacity-above-freezing",
        claim: "ten fruits have the printed heat capacity above freezing",
        source: "fruit_freezing_list",
        place: "specific heat above freezing; composition usda_sr28",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.05,
        unit: "1",
        why: "the list's fruits hold their own water, up to 3 % more",
    }
    .held(&worst, "")
}

fn fruit_heat_below() -> Check {
    let mut worst = Worst::default();
    for (name, _, _, below) in FRUIT {
        worst.add_relative(
            or_nan(frozen(&ingredient(name), -29.0, Mixing::Parallel), |f| {
                f.apparent_heat_capacity_j_kgk
            }),
            below * BTU_LB_F,
        );
    }
    Claim {
        name: "fruit-heat-capacity-below-freezing",
        claim: "ten deep-frozen fruits have about the printed heat capacity below freezing",
        source: "fruit_freezing_list",
        place: "specific heat below freezing; composition usda_sr28",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.25,
        unit: "1",
        why: "the list counts all water as ice; here some still freezes at -29 °C and gives off heat, a fifth of the whole in the sweetest fruit",
    }
    .held(&worst, "")
}

fn pork() -> Check {
    let pork = Food {
        water_kg: 0.7263,
        protein_kg: 0.1955,
        fat_kg: 0.0714,
        ash_kg: 0.0102,
        ..Food::default()
    };
    let mut worst = Worst::default();
    let with = |mixing| thermal_with_ice(&pork, 0.612_45, -40.0, mixing);
    // The example divides by its volume alone; its parts add up to 1.0034.
    let of_volume = |t: jarwright_matter::Thermal| t.density_kg_m3 / pork.mass_kg();
    worst.add_relative(or_nan(with(Mixing::Parallel), of_volume), 996.2);
    worst.add_relative(or_nan(with(Mixing::Parallel), |t| t.conductivity_w_mk), 1.8315);
    worst.add_relative(or_nan(with(Mixing::Perpendicular), |t| t.conductivity_w_mk), 0.4917);
    Claim {
        name: "frozen-pork-example",
        claim: "lean pork at -40 °C with 61 % ice has the density and conductivity a separate calculation finds",
        source: "ashrae_refrigeration_2006",
        place: "the handbook's kind of example; its printed answers were not read",
        mark: Mark::Computed,
        tolerance: 1e-4,
        unit: "1",
        why: "four digits are stated",
    }
    .held(&worst, "guards the ice columns against slips, not the method")
}
