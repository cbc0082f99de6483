//! Conductivity, density, heat capacity and diffusivity.

use jarwright_figure::Mark;
use jarwright_matter::{Component, Food, Mixing, Thermal, thermal, thermal_by};

use super::{Claim, or_nan};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        regression_set(),
        component_densities(),
        water_conductivity(),
        water_density(),
        water_heat_capacity(),
        tomato_paste(),
        diffusivities(),
    ]
}

/// A food from percentages: water, protein, fat, carbohydrate, fibre, ash.
fn food([water, protein, fat, carbohydrate, fibre, ash]: [f64; 6]) -> Food {
    Food {
        water_kg: water / 100.0,
        protein_kg: protein / 100.0,
        fat_kg: fat / 100.0,
        sucrose_kg: carbohydrate / 100.0,
        fibre_kg: fibre / 100.0,
        ash_kg: ash / 100.0,
        ..Food::default()
    }
}

fn conductivity(food: &Food, at_c: f64, mixing: Mixing) -> f64 {
    or_nan(thermal_by(food, at_c, mixing), |t| t.conductivity_w_mk)
}

fn regression_set() -> Check {
    let curd = [45.0, 4.5, 14.0, 35.5, 0.3, 0.7];
    let mut worst = Worst::default();
    for (parts, at_c, rho, cp, k, alpha) in [
        (
            [88.13, 3.15, 3.25, 4.80, 0.0, 0.67],
            30.0,
            1021.197,
            3897.160,
            [0.579_419, 0.518_587, 0.557_277],
            1.455_91,
        ),
        (
            curd,
            20.0,
            1153.774,
            2828.994,
            [0.413_752, 0.310_814, 0.360_076],
            1.267_61,
        ),
        (
            curd,
            85.0,
            1127.343,
            2886.937,
            [0.464_943, 0.337_078, 0.401_333],
            1.428_59,
        ),
        (
            [33.0, 0.5, 0.0, 65.5, 0.8, 0.2],
            20.0,
            1327.379,
            2444.348,
            [0.392_780, 0.312_882, 0.349_107],
            1.210_57,
        ),
        (
            [91.0, 1.3, 0.3, 4.5, 1.5, 1.4],
            60.0,
            1016.047,
            3966.280,
            [0.629_493, 0.597_794, 0.617_900],
            1.562_05,
        ),
    ] {
        let food = food(parts);
        worst.add_relative(or_nan(thermal(&food, at_c), |t| t.density_kg_m3), rho);
        worst.add_relative(or_nan(thermal(&food, at_c), |t| t.heat_capacity_j_kgk), cp);
        worst.add_relative(or_nan(thermal(&food, at_c), |t| 1e7 * t.diffusivity_m2_s()), alpha);
        for (mixing, k) in [Mixing::Parallel, Mixing::Perpendicular, Mixing::Geometric]
            .into_iter()
            .zip(k)
        {
            worst.add_relative(conductivity(&food, at_c, mixing), k);
        }
    }
    Claim {
        name: "thermal-regression-set",
        claim: "five compositions have the properties that a separate script finds with the same coefficients",
        source: "choi_okos_1986",
        place: "milk, curd, jam and tomato sauce, 20 to 85 °C",
        mark: Mark::Computed,
        tolerance: 1e-5,
        unit: "1",
        why: "six digits are stated",
    }
    .held(
        &worst,
        "guards the coefficients and the mixing against slips, not the method",
    )
}

fn alone(component: Component, at_c: f64, take: impl FnOnce(Thermal) -> f64) -> f64 {
    or_nan(component.alone(at_c), take)
}

fn component_densities() -> Check {
    let mut worst = Worst::default();
    for (component, rho) in [
        (Component::Protein, 1319.5),
        (Component::Fat, 917.2),
        (Component::Carbohydrate, 1592.9),
        (Component::Fibre, 1304.2),
        (Component::Ash, 2418.2),
    ] {
        worst.add(alone(component, 20.0, |t| t.density_kg_m3), rho);
    }
    Claim {
        name: "component-densities-coolprop",
        claim: "protein, fat, carbohydrate, fibre and ash have the density a library gives at 20 °C",
        source: "coolprop_8",
        place: "CoolProp 8.0.0, INCOMP food components",
        mark: Mark::Computed,
        tolerance: 0.05,
        unit: "kg/m³",
        why: "stated to 0.1",
    }
    .held(&worst, "another transcription of the same coefficients")
}

fn water_conductivity() -> Check {
    let mut worst = Worst::default();
    for (at_c, iapws) in [(20.0, 0.5980), (60.0, 0.6510), (95.0, 0.6752)] {
        worst.add_relative(alone(Component::Water, at_c, |t| t.conductivity_w_mk), iapws);
    }
    Claim {
        name: "water-conductivity-iapws",
        claim: "water as a food component conducts heat as IAPWS water does",
        source: "coolprop_8",
        place: "IAPWS-95 at 20, 60 and 95 °C",
        mark: Mark::Computed,
        tolerance: 0.01,
        unit: "1",
        why: "the food polynomial is that far off at 20 °C",
    }
    .held(&worst, "")
}

fn water_density() -> Check {
    let mut worst = Worst::default();
    for (at_c, iapws) in [(20.0, 998.21), (60.0, 983.20), (95.0, 961.89)] {
        worst.add_relative(alone(Component::Water, at_c, |t| t.density_kg_m3), iapws);
    }
    Claim {
        name: "water-density-iapws",
        claim: "water as a food component has the density of IAPWS water",
        source: "coolprop_8",
        place: "IAPWS-95 at 20, 60 and 95 °C",
        mark: Mark::Computed,
        tolerance: 0.0025,
        unit: "1",
        why: "the food polynomial is that far off at 20 °C",
    }
    .held(&worst, "")
}

fn water_heat_capacity() -> Check {
    let mut worst = Worst::default();
    for (at_c, iapws) in [(20.0, 4184.1), (60.0, 4185.0), (95.0, 4210.2)] {
        worst.add_relative(alone(Component::Water, at_c, |t| t.heat_capacity_j_kgk), iapws);
    }
    Claim {
        name: "water-heat-capacity-iapws",
        claim: "water as a food component has the heat capacity of IAPWS water",
        source: "coolprop_8",
        place: "IAPWS-95 at 20, 60 and 95 °C",
        mark: Mark::Computed,
        tolerance: 0.002,
        unit: "1",
        why: "the food polynomial is that far off",
    }
    .held(
        &worst,
        "decides between two printings of the constant: 4.1762 passes, 4.1289 is 1.2 % low and would fail",
    )
}

fn tomato_paste() -> Check {
    let mut worst = Worst::default();
    for (brix, at_c) in [(44.0, 30.0), (44.0, 50.0), (35.0, 40.0), (27.0, 30.0), (27.0, 50.0)] {
        let paste = food([100.0 - brix, 0.04 * brix, 0.0, 0.88 * brix, 0.04 * brix, 0.04 * brix]);
        worst.add_inside(conductivity(&paste, at_c, Mixing::Parallel), 0.460, 0.660);
    }
    Claim {
        name: "tomato-paste-conductivity",
        claim: "tomato paste of 27 to 44 °Brix conducts inside the measured range, 30 to 50 °C",
        source: "drusas_saravacos_1985",
        place: "0.460 to 0.660 W/(m K)",
        mark: Mark::Seen,
        tolerance: 0.0,
        unit: "W/(m·K)",
        why: "the measured range is the tolerance",
    }
    .held(
        &worst,
        "solids split as a tomato's: 88 % sugars and acids, the rest protein, fibre and ash",
    )
}

fn diffusivities() -> Check {
    let mut worst = Worst::default();
    for (parts, at_c, measured) in [
        ([37.0, 0.0, 0.0, 63.0, 0.0, 0.0], 5.0, 1.05),
        ([76.0, 1.1, 0.3, 19.2, 2.6, 0.8], 5.0, 1.18),
        ([82.2, 1.1, 0.2, 13.9, 2.1, 0.5], 30.0, 1.32),
        ([92.0, 0.7, 0.3, 4.9, 1.7, 0.4], 5.0, 1.27),
        ([94.5, 0.9, 0.2, 2.7, 1.2, 0.5], 4.0, 1.48),
        ([65.0, 1.4, 0.0, 30.8, 1.4, 1.4], 20.0, 1.42),
        ([88.9, 0.9, 0.2, 8.1, 1.5, 0.4], 20.0, 1.39),
        ([78.0, 1.9, 0.1, 17.2, 1.8, 1.0], 20.0, 1.23),
        ([72.0, 5.0, 0.4, 16.8, 4.1, 1.7], 63.0, 1.68),
    ] {
        worst.add_relative(
            or_nan(thermal(&food(parts), at_c), |t| 1e7 * t.diffusivity_m2_s()),
            measured,
        );
    }
    Claim {
        name: "measured-diffusivities",
        claim: "juice, fruit, tomato, potato and baked beans diffuse heat as measured, within 15 %",
        source: "diffusivity_table",
        place: "apple juice, banana, cherries, strawberry, tomato pulp, peach, mashed potato, baked beans; tomato paste from drusas_saravacos_1985",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.15,
        unit: "1",
        why: "no author gives his error; tomato pulp is printed above water itself, strawberry below it by 9 %",
    }
    .held(
        &worst,
        "composition from usda_sr28 except the printed water of juice, banana and strawberry; the same table's bean and pea \
         purees, 1.80 and 1.82e-7 m²/s, stand 15 % above anything a mixture with water can have and are left out",
    )
}
