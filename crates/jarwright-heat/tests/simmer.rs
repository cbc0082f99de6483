//! A pan whose heat goes off as vapour before it boils: it stands, and still thickens.

use jarwright_heat::HeatError;
use jarwright_heat::films::{Surroundings, open_surface};
use jarwright_heat::pot::{Charge, Cook, Heating, Pot, boil_for, boil_to_brix};
use jarwright_matter::{Food, food_boils_c, latent_heat_j_kg, saturation_pressure_pa, thermal, water_activity};
use proptest::prelude::*;

const PRESSURE_PA: f64 = 100_700.0;

/// A jam pan of 36 cm on a gas ring of 3.5 kW, 38 % of it into the pan.
const RING_W: f64 = 3500.0 * 0.38;

fn pan(into_pot_w: f64) -> Pot {
    Pot {
        heating: Heating::Direct { into_pot_w },
        surface_m2: std::f64::consts::FRAC_PI_4 * 0.36 * 0.36,
        diameter_m: 0.36,
        pot_j_k: 1200.0,
        room_c: 20.0,
        humidity: 0.5,
        pressure_pa: PRESSURE_PA,
        stirred: true,
    }
}

/// Apricots and sugar, by weight as 4 to 3; composition rounded.
fn apricots(kg: f64) -> Charge {
    let food = Food {
        water_kg: 0.495,
        sucrose_kg: 0.460,
        hexose_kg: 0.022,
        fibre_kg: 0.012,
        protein_kg: 0.008,
        ash_kg: 0.003,
        ..Food::default()
    };
    Charge {
        food: food.scaled(kg),
        start_c: 20.0,
    }
}

fn enthalpy_j(food: &Food, c: f64) -> Result<f64, HeatError> {
    let strips = 32;
    let step = c / f64::from(strips);
    let mut sum = 0.0;
    for i in 0..strips {
        let at = (f64::from(i) + 0.5) * step;
        sum += food.mass_kg() * thermal(food, at)?.heat_capacity_j_kgk * step;
    }
    Ok(sum)
}

/// What the surface gives off at a temperature: convection and radiation [W], vapour [kg/s].
fn surface(pot: &Pot, food: &Food, c: f64) -> Result<(f64, f64), HeatError> {
    let around = Surroundings {
        air_c: pot.room_c,
        rel_humidity: pot.humidity,
        pressure_pa: pot.pressure_pa,
    };
    let boils = pot.pressure_pa / saturation_pressure_pa(c)?;
    let activity = water_activity(food)?.min(boils);
    let open = open_surface(pot.surface_m2, 0.25 * pot.diameter_m, c, activity, 0.95, &around)?;
    Ok((open.convection_w + open.radiation_w, open.evaporation_kg_s))
}

/// The same balance by brute force: a second at a time, the boil a lid on the temperature.
fn second_by_second(pot: &Pot, charge: &Charge, brix: f64) -> Result<(f64, f64), HeatError> {
    let Heating::Direct { into_pot_w } = pot.heating else {
        return Ok((f64::NAN, f64::NAN));
    };
    let (mut food, mut c) = (charge.food.clone(), charge.start_c);
    for second in 0..200_000 {
        if food.brix() >= brix {
            return Ok((f64::from(second), c));
        }
        let (mut out_w, mut vapour_kg_s) = (0.0, 0.0);
        if c > pot.room_c {
            (out_w, vapour_kg_s) = surface(pot, &food, c)?;
        }
        let capacity_j_k = food.mass_kg() * thermal(&food, c)?.heat_capacity_j_kgk + pot.pot_j_k;
        let boils_c = food_boils_c(&food, pot.pressure_pa)?;
        let quiet_c = c + (into_pot_w - out_w - vapour_kg_s * latent_heat_j_kg(c)?) / capacity_j_k;
        if quiet_c > boils_c {
            vapour_kg_s = (into_pot_w - out_w - capacity_j_k * (boils_c - c)) / latent_heat_j_kg(c)?;
        }
        c = quiet_c.min(boils_c);
        food = food.minus_water(vapour_kg_s)?;
    }
    Ok((f64::INFINITY, c))
}

fn jam(w: f64, kg: f64) -> Result<Cook, HeatError> {
    boil_to_brix(&pan(w), &apricots(kg), &[], 65.0)
}

#[test]
fn a_wide_pan_on_a_weak_ring_reaches_its_brix_below_the_boil() -> Result<(), HeatError> {
    let cook = jam(RING_W, 2.5)?;
    assert!(!cook.boils);
    assert!((cook.food.brix() - 65.0).abs() < 1e-6, "{}", cook.food.brix());
    let boils_c = food_boils_c(&cook.food, PRESSURE_PA)?;
    assert!(cook.end_c < boils_c && cook.end_c > 85.0, "{} of {boils_c}", cook.end_c);
    Ok(())
}

#[test]
fn energy_in_is_energy_out_and_energy_held_below_the_boil_too() -> Result<(), HeatError> {
    let timed = boil_for(&pan(RING_W), &apricots(2.5), &[], 15.0)?;
    assert!(!timed.boils);
    for cook in [jam(RING_W, 2.5)?, jam(900.0, 4.0)?, timed] {
        let start = apricots(cook.food.mass_kg() + cook.evaporated_kg);
        let held = enthalpy_j(&cook.food, cook.end_c)? - enthalpy_j(&start.food, start.start_c)?
            + pan(0.0).pot_j_k * (cook.end_c - start.start_c);
        let miss = (cook.energy_j - cook.lost_j - cook.vapour_j - held) / cook.energy_j;
        assert!(miss.abs() < 3e-4, "{miss}");
        // And at the end, with a surface model asked anew: what air, walls, vapour and a pan
        // that still gets hotter take is what the ring gives.
        let into_pot_w = cook.energy_j / cook.seconds;
        let (out_w, vapour_kg_s) = surface(&pan(into_pot_w), &cook.food, cook.end_c)?;
        let [.., (s0, c0), (s1, c1)] = cook.curve[..] else {
            continue;
        };
        let capacity_j_k =
            cook.food.mass_kg() * thermal(&cook.food, cook.end_c)?.heat_capacity_j_kgk + pan(0.0).pot_j_k;
        let takes_w = out_w + vapour_kg_s * latent_heat_j_kg(cook.end_c)? + capacity_j_k * (c1 - c0) / (s1 - s0);
        let miss = takes_w / into_pot_w - 1.0;
        assert!(miss.abs() < 0.01, "{takes_w} of {into_pot_w}");
    }
    Ok(())
}

#[test]
fn the_pan_agrees_with_the_balance_taken_second_by_second() -> Result<(), HeatError> {
    for w in [700.0, RING_W, 1700.0, 1900.0, 2000.0, 2100.0, 2300.0, 3000.0] {
        let cook = jam(w, 2.5)?;
        let (seconds, end_c) = second_by_second(&pan(w), &apricots(2.5), 65.0)?;
        assert!(
            (cook.seconds / seconds - 1.0).abs() < 0.015,
            "{w} W: {} s, by brute force {seconds} s",
            cook.seconds
        );
        assert!(
            (cook.end_c - end_c).abs() < 0.3,
            "{w} W: {} °C, by brute force {end_c} °C",
            cook.end_c
        );
    }
    Ok(())
}

/// The least power that boils all the way [W], by halving.
fn least_that_boils(kg: f64) -> Result<f64, HeatError> {
    let (mut low, mut high) = (RING_W, 4000.0);
    for _ in 0..40 {
        let w = 0.5 * (low + high);
        if jam(w, kg)?.boils { high = w } else { low = w }
    }
    Ok(high)
}

#[test]
fn a_watt_more_at_the_threshold_hardly_changes_the_time() -> Result<(), HeatError> {
    for kg in [1.0, 2.5, 6.0] {
        let w = least_that_boils(kg)?;
        let (below, above) = (jam(w - 0.05, kg)?, jam(w + 0.05, kg)?);
        assert!(!below.boils && above.boils);
        assert!(
            (below.seconds / above.seconds - 1.0).abs() < 3e-3,
            "{} and {}",
            below.seconds,
            above.seconds
        );
        assert!(
            (below.end_c - above.end_c).abs() < 0.1,
            "{} and {}",
            below.end_c,
            above.end_c
        );
    }
    Ok(())
}

#[test]
fn a_jam_over_steam_thickens_below_its_boil() -> Result<(), HeatError> {
    let bowl = Pot {
        heating: Heating::OverSteam {
            steam_c: 99.8,
            area_m2: 0.06,
            u_w_m2k: 400.0,
            burner_w: 2000.0,
        },
        ..pan(0.0)
    };
    let cook = boil_to_brix(&bowl, &apricots(2.0), &[], 65.0)?;
    assert!(!cook.boils && cook.end_c < 99.8, "{}", cook.end_c);
    // A lid that lets nothing out: nothing thickens, and steam does not boil a syrup.
    let lid = Pot {
        surface_m2: 0.0,
        ..bowl
    };
    for refused in [
        boil_to_brix(&lid, &apricots(2.0), &[], 65.0),
        boil_for(&lid, &apricots(2.0), &[], 5.0),
    ] {
        assert!(
            matches!(refused, Err(HeatError::NeverReaches { limit, target, .. }) if limit < target),
            "{refused:?}"
        );
    }
    Ok(())
}

#[test]
fn a_pan_that_hardly_warms_is_refused_with_where_it_settles() {
    for refused in [jam(8.0, 2.5), boil_for(&pan(200.0), &apricots(2.5), &[], 10.0)] {
        assert!(
            matches!(refused, Err(HeatError::NeverReaches { limit, .. }) if limit > 20.0 && limit < 70.0),
            "{refused:?}"
        );
    }
}

#[test]
fn a_food_that_gets_there_on_the_way_up_ends_there() -> Result<(), HeatError> {
    let charge = apricots(2.5);
    let brix = charge.food.brix() + 0.5;
    let cook = boil_to_brix(&pan(RING_W), &charge, &[], brix)?;
    assert!(!cook.boils && cook.boiling_s.abs() < 1e-9);
    assert!((cook.food.brix() - brix).abs() < 1e-4, "{}", cook.food.brix());
    Ok(())
}

#[test]
fn a_pan_hotter_than_its_ring_can_keep_it_cools_and_thickens() -> Result<(), HeatError> {
    let hot = Charge {
        start_c: 95.0,
        ..apricots(2.5)
    };
    let cook = boil_to_brix(&pan(500.0), &hot, &[], 65.0)?;
    assert!(!cook.boils && cook.end_c < 90.0 && cook.seconds > 0.0);
    assert!(cook.curve.windows(2).all(|w| w[1].0 >= w[0].0));
    let cold = jam(500.0, 2.5)?;
    assert!(cook.seconds < cold.seconds);
    Ok(())
}

proptest! {
    #[test]
    fn more_power_never_takes_longer_to_thicken(
        w in 300.0..4000.0_f64, more in 1.0002..1.5_f64, kg in 0.5..8.0_f64, brix in 50.0..68.0_f64,
    ) {
        let thicken = |w: f64| boil_to_brix(&pan(w), &apricots(kg), &[], brix);
        if let Ok(slow) = thicken(w) {
            let quick = thicken(more * w).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert!(quick.seconds < slow.seconds, "{} W {} s, {} W {} s", w, slow.seconds, more * w, quick.seconds);
        }
    }

    #[test]
    fn more_minutes_never_leave_more_water(w in 800.0..4000.0_f64, min in 1.0..20.0_f64) {
        let short = boil_for(&pan(w), &apricots(3.0), &[], min);
        let long = boil_for(&pan(w), &apricots(3.0), &[], min + 1.0);
        if let (Ok(short), Ok(long)) = (short, long) {
            prop_assert!(long.evaporated_kg > short.evaporated_kg);
        }
    }
}
