//! Air pressure, boiling of water and of syrups.

use jarwright_figure::Mark;
use jarwright_matter::{
    Food, brix_when_boiling_at, food_boils_c, latent_heat_j_kg, pressure_pa, saturation_pressure_pa,
    station_pressure_pa, water_boils_c,
};

use super::{Claim, or_nan, syrup};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![
        if97_table(),
        steam_libraries(),
        altitude_libraries(),
        altitude_psychrolib(),
        extension_table_own_pressure(),
        extension_table_standard_atmosphere(),
        rounded_altitudes(),
        gel_points(),
        syrup_elevation(),
        jelly_point(),
        todays_barometer(),
        jelly_reading(),
        jam_reading(),
        gel_points_as_brix(),
        steam_table_latent(),
        handbook_vapour_pressure(),
        ebullioscopic_constant(),
    ]
}

const FOOT_M: f64 = 0.3048;

fn fahrenheit(c: f64) -> f64 {
    1.8 * c + 32.0
}

fn boils_at_m(height_m: f64) -> f64 {
    or_nan(pressure_pa(height_m).and_then(water_boils_c), |c| c)
}

fn if97_table() -> Check {
    let mut worst = Worst::default();
    worst.add_relative(
        or_nan(saturation_pressure_pa(300.0 - 273.15), |pa| pa / 1e6),
        0.353_658_941e-2,
    );
    for (mpa, kelvin) in [(0.1, 372.755_919), (1.0, 453.035_632)] {
        worst.add_relative(or_nan(water_boils_c(mpa * 1e6), |c| c + 273.15), kelvin);
    }
    Claim {
        name: "steam-if97-region-4",
        claim: "vapour pressure and boiling point of water meet the release's verification table",
        source: "iapws_if97",
        place: "tables 35 and 36",
        mark: Mark::Memory,
        tolerance: 2e-9,
        unit: "1",
        why: "nine digits are printed",
    }
    .held(&worst, "settles megapascal and °C of the library behind it")
}

fn steam_libraries() -> Check {
    let mut worst = Worst::default();
    worst.add_relative(or_nan(latent_heat_j_kg(100.0), |j| j / 1000.0), 2256.404);
    worst.add_relative(or_nan(saturation_pressure_pa(100.0), |pa| pa), 101_418.0);
    Claim {
        name: "steam-iapws-95",
        claim: "latent heat and vapour pressure at 100 °C agree with the scientific formulation of IAPWS",
        source: "coolprop_8",
        place: "CoolProp 8.0.0",
        mark: Mark::Computed,
        tolerance: 1e-4,
        unit: "1",
        why: "the industrial formulation is a fit to the scientific one",
    }
    .held(&worst, "settles kJ/kg of the library behind it")
}

fn altitude_libraries() -> Check {
    let mut worst = Worst::default();
    for (height_m, printed) in [
        (0.0, 99.9743),
        (250.0, 99.1436),
        (500.0, 98.3125),
        (1000.0, 96.6489),
        (1250.0, 95.8163),
        (1500.0, 94.9831),
        (2000.0, 93.3153),
        (2250.0, 92.4805),
        (2500.0, 91.6451),
        (3000.0, 89.9725),
    ] {
        worst.add(boils_at_m(height_m), printed);
    }
    Claim {
        name: "boiling-altitude-iapws",
        claim: "water boils at the IAPWS temperature under the standard atmosphere, 0 to 3000 m",
        source: "iapws_if97",
        place: "iapws 1.5.5 and CoolProp 8.0.0, which agree to 0.0002 °C",
        mark: Mark::Computed,
        tolerance: 0.0003,
        unit: "°C",
        why: "the two libraries differ by 0.0002 °C, printed to 0.0001",
    }
    .held(&worst, "")
}

fn altitude_psychrolib() -> Check {
    let mut worst = Worst::default();
    worst.add(or_nan(pressure_pa(1500.0), |pa| pa), 84_555.93);
    worst.add(or_nan(pressure_pa(1500.0), |pa| pa), 84_559.68);
    Claim {
        name: "pressure-altitude-libraries",
        claim: "pressure at 1500 m agrees with two libraries",
        source: "psychrolib",
        place: "PsychroLib 2.5.0, fluids 1.3.1",
        mark: Mark::Computed,
        tolerance: 5.0,
        unit: "Pa",
        why: "one library counts geometric, one geopotential height: 4 Pa at 1500 m, 0.001 °C",
    }
    .held(&worst, "")
}

/// Feet and printed °C of the extension table.
const EXTENSION: [(f64, f64); 11] = [
    (0.0, 100.0),
    (1000.0, 99.01),
    (2000.0, 98.03),
    (3000.0, 97.05),
    (4000.0, 96.08),
    (5000.0, 95.12),
    (6000.0, 94.16),
    (7000.0, 93.21),
    (8000.0, 92.26),
    (9000.0, 91.32),
    (10_000.0, 90.39),
];

fn extension_table_own_pressure() -> Check {
    let mut worst = Worst::default();
    for (feet, printed) in EXTENSION {
        let pa = 101_325.0 * (-1.16e-4 * feet * FOOT_M).exp();
        worst.add(or_nan(water_boils_c(pa), |c| c), printed);
    }
    Claim {
        name: "boiling-extension-table-own-pressure",
        claim: "under the isothermal pressure the extension table states, water boils where it prints",
        source: "usda_guide_1994",
        place: "chapter on elevation as carried by a third party, 0 to 10,000 ft",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.04,
        unit: "°C",
        why: "the table starts at 100.00 °C where water under 101325 Pa boils at 99.97, and is printed to 0.01",
    }
    .held(&worst, "")
}

fn extension_table_standard_atmosphere() -> Check {
    let mut worst = Worst::default();
    for (feet, printed) in EXTENSION {
        // Never warmer than printed, and colder by no more than the table's atmosphere explains.
        worst.add_inside(boils_at_m(feet * FOOT_M), printed - 0.6, printed);
    }
    Claim {
        name: "boiling-extension-table-standard-atmosphere",
        claim: "under the standard atmosphere water boils no warmer than the extension table prints, and at most 0.6 °C colder",
        source: "usda_guide_1994",
        place: "chapter on elevation as carried by a third party, 0 to 10,000 ft",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.0,
        unit: "°C",
        why: "the printed table assumes an atmosphere of 20 °C all the way up",
    }
    .held(
        &worst,
        "clash: the table is 0.2 °C warm at 5,000 ft and 0.6 °C at 10,000 ft; the program takes the colder, which is the cautious side",
    )
}

fn rounded_altitudes() -> Check {
    let mut worst = Worst::default();
    for (feet, printed) in [(2000.0, 208.0), (5000.0, 203.0), (7500.0, 198.0), (10_000.0, 194.0)] {
        worst.add(fahrenheit(boils_at_m(feet * FOOT_M)), printed);
    }
    Claim {
        name: "boiling-altitude-rounded",
        claim: "boiling points by altitude round to those printed in whole °F",
        source: "altitude_rounded_table",
        place: "2,000, 5,000, 7,500 and 10,000 ft",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.5,
        unit: "°F",
        why: "printed to 1 °F",
    }
    .held(&worst, "")
}

fn gel_points() -> Check {
    let mut worst = Worst::default();
    for (feet, printed) in [
        (0.0, 220.0),
        (2000.0, 216.0),
        (3000.0, 214.0),
        (4000.0, 212.0),
        (5000.0, 211.0),
        (6000.0, 209.0),
        (7000.0, 207.0),
        (8000.0, 205.0),
    ] {
        worst.add(fahrenheit(boils_at_m(feet * FOOT_M)) + 8.0, printed);
    }
    Claim {
        name: "gel-point-altitude",
        claim: "8 °F above the boiling point of water is the printed gel point at each altitude",
        source: "gel_point_table",
        place: "sea level to 8,000 ft",
        mark: Mark::ThirdPartyCopy,
        tolerance: 1.0,
        unit: "°F",
        why: "printed in whole °F, partly cut instead of rounded",
    }
    .held(&worst, "")
}

/// Rise of the boiling point of a sucrose solution at sea level [K].
fn rise(brix: f64) -> f64 {
    or_nan(food_boils_c(&syrup(brix), 101_325.0), |c| c) - boils_at_m(0.0)
}

fn syrup_elevation() -> Check {
    let mut worst = Worst::default();
    for (brix, brown, industry) in [
        (10.0, 0.4, 0.1),
        (30.0, 1.0, 0.6),
        (40.0, 1.5, 1.0),
        (50.0, 2.0, 1.8),
        (60.0, 3.0, 3.0),
        (70.0, 6.5, 5.1),
        (75.0, 8.9, 7.0),
        (80.0, 12.0, 9.4),
    ] {
        worst.add_inside(rise(brix), industry, brown);
    }
    Claim {
        name: "boiling-rise-sucrose",
        claim: "the boiling rise of sucrose solutions lies between the two published tables",
        source: "brown_1912",
        place: "10 to 80 °Brix; lower end a sugar-industry table from memory",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.15,
        unit: "K",
        why: "both tables print 3.0 K at 60 °Brix, to 0.1 K, and part by 1.4 K at 70",
    }
    .held(&worst, "few original measurements stand behind the tables (saska_2002)")
}

fn jelly_point() -> Check {
    let mut worst = Worst::default();
    worst.add(rise(65.0), 3.9);
    Claim {
        name: "boiling-rise-65-brix",
        claim: "a syrup of 65 °Brix boils at the printed 3.9 °C above water",
        source: "cruess_mcnair",
        place: "jelly end point",
        mark: Mark::Seen,
        tolerance: 0.5,
        unit: "K",
        why: "a kitchen thermometer reads to 0.5 °C",
    }
    .held(&worst, "")
}

fn todays_barometer() -> Check {
    let mut worst = Worst::default();
    // Feet and altimeter setting [inHg] of two airfields.
    for (feet, inch_hg, printed) in [(5045.0, 30.20, 84_977.0), (7014.0, 30.37, 79_375.0)] {
        worst.add(
            or_nan(station_pressure_pa(inch_hg * 3386.389, feet * FOOT_M), |pa| pa),
            printed,
        );
    }
    Claim {
        name: "station-pressure-airfields",
        claim: "reports of two airfields reduced to sea level give back the pressure at their height",
        source: "airfield_pressures",
        place: "5,045 ft at 30.20 inHg and 7,014 ft at 30.37 inHg",
        mark: Mark::ThirdPartyCopy,
        tolerance: 2.0,
        unit: "Pa",
        why: "another program's answer with constants of four digits",
    }
    .held_as_calculated(
        &worst,
        "the formula is the meteorological tables'; the example's own program rounds its constants",
    )
}

/// Degrees Brix at which a sugar boil reaches a reading, its sucrose whole and three tenths split.
fn brix_at(reading_c: f64, pa: f64) -> [f64; 2] {
    let thin = syrup(30.0);
    [0.0, 0.3].map(|split| {
        or_nan(
            thin.inverted(split)
                .and_then(|food| brix_when_boiling_at(&food, reading_c, pa)),
            |b| b,
        )
    })
}

fn end_point(name: &'static str, claim: &'static str, place: &'static str, rise_k: f64, low: f64, high: f64) -> Check {
    let mut worst = Worst::default();
    for brix in brix_at(boils_at_m(0.0) + rise_k, 101_325.0) {
        worst.add_inside(brix, low, high);
    }
    Claim {
        name,
        claim,
        source: "usda_garden_produce",
        place,
        mark: Mark::ThirdPartyCopy,
        tolerance: 2.0,
        unit: "°Brix",
        why: "a kitchen thermometer reads to 1 °F, which is 1 to 2 °Brix there",
    }
    .held(
        &worst,
        "sugar whole and with three tenths inverted; the rule counts from the boiling point of water",
    )
}

fn jelly_reading() -> Check {
    end_point(
        "jelly-end-point-as-brix",
        "a jelly stopped 8 °F above boiling water has the 65 °Brix of the standard of identity",
        "jelly: 8 °F above the boiling point of water; 21 CFR 150.140: 65 %",
        4.4,
        65.0,
        65.0,
    )
}

fn jam_reading() -> Check {
    end_point(
        "jam-end-point-as-brix",
        "a jam stopped 9 °F above boiling water has 65 to 68 °Brix",
        "jam: 9 °F above the boiling point of water; 21 CFR 150.160: 65 or 68 %",
        5.0,
        65.0,
        68.0,
    )
}

fn gel_points_as_brix() -> Check {
    let mut worst = Worst::default();
    for (feet, printed_f) in [
        (0.0, 220.0),
        (2000.0, 216.0),
        (3000.0, 214.0),
        (4000.0, 212.0),
        (5000.0, 211.0),
        (6000.0, 209.0),
        (7000.0, 207.0),
        (8000.0, 205.0),
    ] {
        let pa = or_nan(pressure_pa(feet * FOOT_M), |pa| pa);
        for brix in brix_at((printed_f - 32.0) / 1.8, pa) {
            worst.add(brix, 65.0);
        }
    }
    Claim {
        name: "gel-point-altitude-as-brix",
        claim: "the gel points printed for eight altitudes are all the same 65 °Brix",
        source: "gel_point_table",
        place: "sea level to 8,000 ft; sugar whole and three tenths inverted",
        mark: Mark::ThirdPartyCopy,
        tolerance: 3.0,
        unit: "°Brix",
        why: "printed in whole °F, partly cut instead of rounded, and 1 °F is 2 °Brix; inversion is another 3",
    }
    .held(&worst, "")
}

fn steam_table_latent() -> Check {
    let mut worst = Worst::default();
    for (at_c, printed) in [
        (20.0, 2453.5),
        (40.0, 2406.0),
        (60.0, 2357.7),
        (80.0, 2308.0),
        (100.0, 2256.4),
    ] {
        worst.add(or_nan(latent_heat_j_kg(at_c), |j| j / 1000.0), printed);
    }
    Claim {
        name: "latent-heat-steam-tables",
        claim: "latent heat of water from 20 to 100 °C is that of printed steam tables",
        source: "steam_tables",
        place: "saturated water by temperature, h_fg",
        mark: Mark::Memory,
        tolerance: 0.2,
        unit: "kJ/kg",
        why: "printed to 0.1; tables of several formulations differ by 0.1",
    }
    .held(&worst, "")
}

fn handbook_vapour_pressure() -> Check {
    let mut worst = Worst::default();
    for (at_c, printed) in [
        (10.0, 1.2281),
        (20.0, 2.3388),
        (30.0, 4.2455),
        (40.0, 7.3814),
        (50.0, 12.344),
        (60.0, 19.932),
        (70.0, 31.176),
        (80.0, 47.373),
        (90.0, 70.117),
        (100.0, 101.32),
    ] {
        worst.add_relative(or_nan(saturation_pressure_pa(at_c), |pa| pa / 1000.0), printed);
    }
    Claim {
        name: "vapour-pressure-handbook",
        claim: "vapour pressure of water from 10 to 100 °C is the handbook's",
        source: "crc_handbook",
        place: "vapour pressure of water from 0 to 370 °C",
        mark: Mark::Memory,
        tolerance: 0.001,
        unit: "1",
        why: "the handbook's table stands on the temperature scale of 1968, on which water boils at 100.00 °C and not at 99.97",
    }
    .held(&worst, "")
}

fn ebullioscopic_constant() -> Check {
    let dilute = Food {
        water_kg: 1.0,
        hexose_kg: 0.1 * 0.180_156,
        ..Food::default()
    };
    let mut worst = Worst::default();
    let rise = or_nan(food_boils_c(&dilute, 101_325.0), |c| c) - boils_at_m(0.0);
    worst.add(rise / 0.1, 0.513);
    Claim {
        name: "ebullioscopic-constant",
        claim: "a dilute solution boils above water by the molal constant",
        source: "crc_handbook",
        place: "0.513 K kg/mol of water",
        mark: Mark::Memory,
        tolerance: 0.008,
        unit: "K·kg/mol",
        why: "steam is taken as ideal between the pressures of the food and of water, which makes every rise 1.3 % too small",
    }
    .held(&worst, "0.05 K at a jelly's end point, a tenth of the 0.5 K that boiling rises are known to")
}
