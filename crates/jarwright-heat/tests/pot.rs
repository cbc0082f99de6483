//! Laws that a pot obeys: energy, scale, limits.

use jarwright_heat::HeatError;
use jarwright_heat::pot::{
    Addition, Charge, Cook, Heating, Pot, boil_for, boil_to_brix, bowl, cook_to_c, steam_contact_area_m2,
};
use jarwright_matter::{Food, food_boils_c, thermal};
use proptest::prelude::*;

fn pot(into_pot_w: f64) -> Pot {
    Pot {
        heating: Heating::Direct { into_pot_w },
        surface_m2: 0.07,
        diameter_m: 0.30,
        pot_j_k: 700.0,
        room_c: 21.0,
        humidity: 0.5,
        pressure_pa: 101_325.0,
        stirred: true,
    }
}

fn over_steam(u_w_m2k: f64, burner_w: f64) -> Pot {
    Pot {
        heating: Heating::OverSteam {
            steam_c: 100.0,
            area_m2: 0.06,
            u_w_m2k,
            burner_w,
        },
        surface_m2: 0.045,
        diameter_m: 0.24,
        ..pot(0.0)
    }
}

fn jam(kg: f64) -> Food {
    Food {
        water_kg: 0.52,
        sucrose_kg: 0.40,
        hexose_kg: 0.05,
        fibre_kg: 0.02,
        protein_kg: 0.01,
        ..Food::default()
    }
    .scaled(kg)
}

fn butter() -> Food {
    Food {
        water_kg: 0.03,
        fat_kg: 0.14,
        ..Food::default()
    }
}

fn charge(food: Food) -> Charge {
    Charge { food, start_c: 20.0 }
}

/// Enthalpy of a food above 0 °C [J] from its heat capacity alone, by Simpson's rule.
fn enthalpy_j(food: &Food, c: f64) -> Result<f64, HeatError> {
    let capacity = |c: f64| -> Result<f64, HeatError> { Ok(food.mass_kg() * thermal(food, c)?.heat_capacity_j_kgk) };
    let strips = 64;
    let step = c / f64::from(strips);
    let mut sum = 0.0;
    for i in 0..strips {
        let from = f64::from(i) * step;
        sum += capacity(from)? + 4.0 * capacity(from + 0.5 * step)? + capacity(from + step)?;
    }
    Ok(sum * step / 6.0)
}

/// Energy in less energy out less what food and pot hold more [share of energy in].
fn imbalance(pot: &Pot, charge: &Charge, additions: &[Addition], cook: &Cook) -> Result<f64, HeatError> {
    let mut held = enthalpy_j(&cook.food, cook.end_c)? - enthalpy_j(&charge.food, charge.start_c)?;
    for addition in additions {
        held -= enthalpy_j(&addition.food, addition.c)?;
    }
    held += pot.pot_j_k * (cook.end_c - charge.start_c);
    Ok((cook.energy_j - cook.lost_j - cook.vapour_j - held) / cook.energy_j)
}

#[test]
fn energy_in_is_energy_out_and_energy_held() -> Result<(), HeatError> {
    let cold_butter = [Addition {
        food: butter(),
        c: 5.0,
        when_c: Some(70.0),
    }];
    let start = charge(jam(3.0));
    for pot in [pot(1400.0), over_steam(400.0, 900.0), over_steam(250.0, 5000.0)] {
        let cook = cook_to_c(&pot, &start, &cold_butter, 78.0, 300.0)?;
        let miss = imbalance(&pot, &start, &cold_butter, &cook)?;
        assert!(miss.abs() < 1e-5, "{miss}");
    }
    let cook = boil_to_brix(&pot(1800.0), &start, &[], 65.0)?;
    let miss = imbalance(&pot(1800.0), &start, &[], &cook)?;
    assert!(miss.abs() < 1e-4, "{miss}");
    let cook = boil_for(&pot(1800.0), &start, &[], 20.0)?;
    let miss = imbalance(&pot(1800.0), &start, &[], &cook)?;
    assert!(miss.abs() < 1e-4, "{miss}");
    Ok(())
}

#[test]
fn mass_gone_is_mass_evaporated() -> Result<(), HeatError> {
    let start = charge(jam(3.0));
    let cook = boil_to_brix(&pot(1800.0), &start, &[], 65.0)?;
    let gone = start.food.mass_kg() - cook.food.mass_kg();
    assert!((gone - cook.evaporated_kg).abs() < 1e-9);
    assert!((cook.food.brix() - 65.0).abs() < 0.05, "{}", cook.food.brix());
    Ok(())
}

#[test]
fn ten_times_the_food_in_the_same_pot_takes_about_ten_times_as_long() -> Result<(), HeatError> {
    // Same pot, same burner: the surface loses for ten times as long, so more than tenfold.
    let one = cook_to_c(&pot(1500.0), &charge(jam(1.0)), &[], 78.0, 0.0)?;
    let ten = cook_to_c(&pot(1500.0), &charge(jam(10.0)), &[], 78.0, 0.0)?;
    // The pot's own heat is not tenfold: take it out of the expectation.
    let food = 1.0 * 3000.0;
    let at_most = (10.0 * food + 700.0) / (food + 700.0);
    let ratio = ten.seconds / one.seconds;
    assert!(ratio > at_most * 0.95 && ratio < 10.5, "{ratio} {at_most}");
    Ok(())
}

#[test]
fn a_batch_ten_times_larger_without_losses_takes_ten_times_as_long() -> Result<(), HeatError> {
    let sealed = Pot {
        surface_m2: 0.0,
        pot_j_k: 0.0,
        ..pot(1500.0)
    };
    let one = cook_to_c(&sealed, &charge(jam(1.0)), &[], 78.0, 0.0)?;
    let ten = cook_to_c(&sealed, &charge(jam(10.0)), &[], 78.0, 0.0)?;
    assert!((ten.seconds / one.seconds - 10.0).abs() < 1e-9);
    // What one kilogram needs, by hand: its enthalpy over the power.
    let by_hand = (enthalpy_j(&jam(1.0), 78.0)? - enthalpy_j(&jam(1.0), 20.0)?) / 1500.0;
    assert!((one.seconds / by_hand - 1.0).abs() < 1e-9);
    Ok(())
}

#[test]
fn cold_butter_costs_the_time_to_warm_it() -> Result<(), HeatError> {
    let sealed = Pot {
        surface_m2: 0.0,
        ..over_steam(20_000.0, 800.0)
    };
    let plain = cook_to_c(&sealed, &charge(jam(1.0)), &[], 77.0, 0.0)?;
    let addition = Addition {
        food: butter(),
        c: 5.0,
        when_c: Some(77.0),
    };
    let with = cook_to_c(&sealed, &charge(jam(1.0)), std::slice::from_ref(&addition), 77.0, 0.0)?;
    let heat = enthalpy_j(&butter(), 77.0)? - enthalpy_j(&butter(), 5.0)?;
    let lost_s = with.seconds - plain.seconds;
    assert!((lost_s - heat / 800.0).abs() < 0.01, "{lost_s}");
    let dip = with.curve.windows(2).any(|w| w[1].1 < w[0].1 - 5.0);
    assert!(dip, "the pot's temperature drops when the butter goes in");
    Ok(())
}

#[test]
fn a_target_above_what_the_pot_can_reach_is_refused_with_its_limit() {
    let weak = pot(60.0);
    let refused = cook_to_c(&weak, &charge(jam(2.0)), &[], 78.0, 0.0);
    assert!(
        matches!(refused, Err(HeatError::NeverReaches { limit, .. }) if limit > 30.0 && limit < 78.0),
        "{refused:?}"
    );
    let steam = cook_to_c(&over_steam(400.0, 2000.0), &charge(jam(2.0)), &[], 100.5, 0.0);
    assert!(matches!(steam, Err(HeatError::NeverReaches { .. })), "{steam:?}");
    let past_the_boil = cook_to_c(&pot(3000.0), &charge(jam(2.0)), &[], 120.0, 0.0);
    assert!(matches!(past_the_boil, Err(HeatError::NeverReaches { limit, .. }) if limit > 100.0 && limit < 103.0));
}

#[test]
fn a_jam_ends_at_the_boiling_point_of_what_is_left() -> Result<(), HeatError> {
    let cook = boil_to_brix(&pot(2000.0), &charge(jam(3.0)), &[], 66.0)?;
    let boils = food_boils_c(&cook.food, 101_325.0)?;
    assert!((cook.end_c - boils).abs() < 1e-6);
    assert!(cook.end_c > 102.0, "{}", cook.end_c);
    Ok(())
}

#[test]
fn a_food_already_thicker_is_refused() {
    let thick = boil_to_brix(&pot(2000.0), &charge(jam(3.0)), &[], 30.0);
    assert!(matches!(thick, Err(HeatError::Matter(_))), "{thick:?}");
}

#[test]
fn boiling_for_the_time_it_took_ends_at_the_same_brix() -> Result<(), HeatError> {
    let down = boil_to_brix(&pot(2000.0), &charge(jam(3.0)), &[], 64.0)?;
    let timed = boil_for(&pot(2000.0), &charge(jam(3.0)), &[], down.boiling_s / 60.0)?;
    assert!((timed.food.brix() - 64.0).abs() < 0.1, "{}", timed.food.brix());
    Ok(())
}

#[test]
fn an_unstirred_bowl_takes_longer() -> Result<(), HeatError> {
    let stirred = over_steam(600.0, 5000.0);
    let still = Pot {
        stirred: false,
        ..stirred
    };
    let quick = cook_to_c(&stirred, &charge(jam(1.0)), &[], 78.0, 0.0)?;
    let slow = cook_to_c(&still, &charge(jam(1.0)), &[], 78.0, 0.0)?;
    assert!(slow.seconds > 1.9 * quick.seconds);
    Ok(())
}

#[test]
fn a_full_half_round_bowl_is_half_a_sphere() -> Result<(), HeatError> {
    use std::f64::consts::PI;
    let half_m3 = 2.0 / 3.0 * PI * 0.15_f64.powi(3);
    let full = bowl(0.30, half_m3)?;
    assert!((full.wetted_m2 - 2.0 * PI * 0.15 * 0.15).abs() < 1e-9);
    assert!((full.open_diameter_m - 0.30).abs() < 1e-6);
    assert!(steam_contact_area_m2(0.30, 1.01 * half_m3).is_err());
    // However the half sphere is written, a full bowl is full and not too full.
    for diameter_m in [0.12_f64, 0.28, 0.3, 0.34, 0.6, 1.7] {
        assert!(bowl(diameter_m, PI * diameter_m.powi(3) / 12.0).is_ok());
    }
    Ok(())
}

proptest! {
    #[test]
    fn more_power_never_takes_longer(w in 400.0..3000.0_f64, kg in 0.3..8.0_f64) {
        let start = charge(jam(kg));
        let slow = cook_to_c(&pot(w), &start, &[], 70.0, 0.0);
        let quick = cook_to_c(&pot(1.2 * w), &start, &[], 70.0, 0.0);
        if let (Ok(slow), Ok(quick)) = (slow, quick) {
            prop_assert!(quick.seconds < slow.seconds);
            prop_assert!(quick.evaporated_kg < slow.evaporated_kg);
        }
    }

    #[test]
    fn no_input_panics(
        w in prop::num::f64::ANY, c in prop::num::f64::ANY, kg in prop::num::f64::ANY,
        target in prop::num::f64::ANY, area in prop::num::f64::ANY,
    ) {
        let mut odd = pot(w);
        odd.surface_m2 = area;
        let start = Charge { food: jam(kg), start_c: c };
        let _ = cook_to_c(&odd, &start, &[], target, target);
        let _ = boil_to_brix(&odd, &start, &[], target);
        let _ = boil_for(&over_steam(w, c), &start, &[], target);
        let _ = bowl(w, c);
    }
}
