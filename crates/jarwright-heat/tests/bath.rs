//! Laws that a loaded bath obeys: energy, order, limits, inverses.

use jarwright_heat::HeatError;
use jarwright_heat::bath::{
    Bath, Jars, Lid, WATER_J_KGK, burner_for_come_up, come_up, heat_to_boil_j, hold_power_w, litres_to_add,
    litres_to_swap, start_c_for_come_up,
};
use proptest::prelude::*;

const BATH: Bath = Bath {
    water_kg: 18.0,
    vessel_j_k: 900.0,
    burner_w: 1700.0,
    lid: Lid::On,
    surface_m2: 0.085,
    side_loss_w_k: 1.5,
    room_c: 22.0,
    rel_humidity: 0.5,
    pressure_pa: 101_325.0,
    boils_c: 99.97,
};

const HALF_PINTS: Jars = Jars {
    count: 12,
    food_kg_each: 0.24,
    food_j_kgk: 3000.0,
    glass_kg_each: 0.17,
    glass_j_kgk: 840.0,
    start_c: 72.0,
    u_a_w_k: 0.75,
};

#[test]
fn energy_in_is_energy_held_and_energy_lost() -> Result<(), HeatError> {
    for lid in [Lid::On, Lid::Off] {
        let bath = Bath {
            lid,
            burner_w: 2600.0,
            ..BATH
        };
        let up = come_up(&bath, &HALF_PINTS, 82.0)?;
        let n = f64::from(HALF_PINTS.count);
        let water = (bath.water_kg * WATER_J_KGK + bath.vessel_j_k) * (bath.boils_c - 82.0);
        let glass = n * 0.17 * 840.0 * (bath.boils_c - 72.0);
        let food = n * 0.24 * 3000.0 * (up.jar_mean_c_at_boil - 72.0);
        let miss = up.energy_j - up.lost_j - water - glass - food;
        assert!(miss.abs() < 1e-7 * up.energy_j, "{miss}");
        assert!((up.energy_j - bath.burner_w * 60.0 * up.minutes).abs() < 1e-6 * up.energy_j);
    }
    Ok(())
}

#[test]
fn water_alone_without_losses_comes_up_as_its_heat_over_the_power() -> Result<(), HeatError> {
    let ideal = Bath {
        surface_m2: 0.0,
        side_loss_w_k: 0.0,
        ..BATH
    };
    let up = come_up(&ideal, &Jars::NONE, 20.0)?;
    let by_hand = (18.0 * WATER_J_KGK + 900.0) * (99.97 - 20.0) / 1700.0 / 60.0;
    assert!((up.minutes / by_hand - 1.0).abs() < 1e-9, "{} {by_hand}", up.minutes);
    Ok(())
}

#[test]
fn food_lags_behind_the_water_but_never_passes_it() -> Result<(), HeatError> {
    let up = come_up(&BATH, &HALF_PINTS, 82.0)?;
    assert!(up.jar_mean_c_at_boil > 72.0 && up.jar_mean_c_at_boil < BATH.boils_c);
    assert!(
        up.after_loading_c < 82.0 && up.after_loading_c > 81.0,
        "{}",
        up.after_loading_c
    );
    Ok(())
}

#[test]
fn a_bath_without_losses_meets_its_closed_form() -> Result<(), HeatError> {
    // Two bodies, constant burner:
    // mean rise P t/(Cw + Cf), difference D = P tau/Cw (1 - e^(-t/tau)) + D0 e^(-t/tau).
    let ideal = Bath {
        surface_m2: 0.0,
        side_loss_w_k: 0.0,
        vessel_j_k: 0.0,
        ..BATH
    };
    let jars = Jars {
        glass_kg_each: 0.0,
        ..HALF_PINTS
    };
    let (cw, cf, ua) = (18.0 * WATER_J_KGK, 12.0 * 0.24 * 3000.0, 12.0 * 0.75);
    let up = come_up(&ideal, &jars, 82.0)?;
    let t = up.minutes * 60.0;
    let tau = 1.0 / (ua * (1.0 / cw + 1.0 / cf));
    let decay = (-t / tau).exp();
    let difference = 1700.0 * tau / cw * (1.0 - decay) + 10.0 * decay;
    let water = (cw * 82.0 + cf * 72.0 + 1700.0 * t) / (cw + cf) + difference * cf / (cw + cf);
    assert!((water - 99.97).abs() < 1e-4, "{water}");
    assert!((up.jar_mean_c_at_boil - (water - difference)).abs() < 1e-4);
    Ok(())
}

#[test]
fn the_burner_found_for_a_come_up_gives_it() -> Result<(), HeatError> {
    for minutes in [8.0, 20.0, 27.5, 60.0] {
        let burner_w = burner_for_come_up(&BATH, &HALF_PINTS, 82.0, minutes)?;
        let up = come_up(&Bath { burner_w, ..BATH }, &HALF_PINTS, 82.0)?;
        assert!((up.minutes - minutes).abs() < 1e-3, "{} {minutes}", up.minutes);
    }
    Ok(())
}

#[test]
fn the_start_found_for_a_come_up_gives_it() -> Result<(), HeatError> {
    let start_c = start_c_for_come_up(&BATH, &HALF_PINTS, 27.5)?;
    let up = come_up(&BATH, &HALF_PINTS, start_c)?;
    assert!((up.minutes - 27.5).abs() < 1e-3, "{start_c}: {}", up.minutes);
    assert!(start_c_for_come_up(&BATH, &HALF_PINTS, 600.0).is_err());
    Ok(())
}

#[test]
fn a_burner_below_the_losses_never_boils() -> Result<(), HeatError> {
    let open = Bath {
        lid: Lid::Off,
        burner_w: 300.0,
        ..BATH
    };
    assert!(hold_power_w(&open)? > 300.0);
    let refused = come_up(&open, &HALF_PINTS, 60.0);
    assert!(
        matches!(refused, Err(HeatError::NeverReaches { limit, .. }) if limit > 40.0 && limit < 99.0),
        "{refused:?}"
    );
    Ok(())
}

#[test]
fn an_open_bath_loses_more_than_a_covered_one() -> Result<(), HeatError> {
    assert!(hold_power_w(&Bath { lid: Lid::Off, ..BATH })? > 2.0 * hold_power_w(&BATH)?);
    Ok(())
}

#[test]
fn swapped_or_topped_up_water_mixes_to_the_target() -> Result<(), HeatError> {
    let swap = litres_to_swap(14.0, 100.0, 15.0, 82.0)?;
    assert!(((14.0 - swap) * 100.0 + swap * 15.0 - 14.0 * 82.0).abs() < 1e-9);
    let add = litres_to_add(14.0, 100.0, 15.0, 82.0)?;
    assert!((14.0 * 100.0 + add * 15.0 - (14.0 + add) * 82.0).abs() < 1e-9);
    assert!(swap < add);
    assert!(litres_to_swap(14.0, 80.0, 15.0, 82.0).is_err());
    assert!(litres_to_add(14.0, 100.0, 90.0, 82.0).is_err());
    Ok(())
}

#[test]
fn heat_to_boil_counts_water_glass_and_food() -> Result<(), HeatError> {
    let alone = heat_to_boil_j(&BATH, &Jars::NONE, 20.0)?;
    let loaded = heat_to_boil_j(&BATH, &HALF_PINTS, 20.0)?;
    let jars = 12.0 * (0.24 * 3000.0 + 0.17 * 840.0) * (99.97 - 72.0);
    assert!((loaded - alone - jars).abs() < 1.0, "{}", loaded - alone - jars);
    Ok(())
}

proptest! {
    #[test]
    fn hotter_water_at_loading_never_comes_up_later(c in 30.0..90.0_f64, count in 0u32..40) {
        let jars = Jars { count, ..HALF_PINTS };
        let later = come_up(&BATH, &jars, c).map(|up| up.minutes);
        let sooner = come_up(&BATH, &jars, c + 5.0).map(|up| up.minutes);
        if let (Ok(later), Ok(sooner)) = (later, sooner) {
            prop_assert!(sooner < later);
        }
    }

    #[test]
    fn no_input_panics(
        w in prop::num::f64::ANY, c in prop::num::f64::ANY, kg in prop::num::f64::ANY,
        minutes in prop::num::f64::ANY, count in 0u32..2000,
    ) {
        let odd = Bath { burner_w: w, water_kg: kg, ..BATH };
        let jars = Jars { count, start_c: c, ..HALF_PINTS };
        let _ = come_up(&odd, &jars, c);
        let _ = burner_for_come_up(&odd, &jars, c, minutes);
        let _ = start_c_for_come_up(&odd, &jars, minutes);
        let _ = litres_to_swap(kg, w, c, minutes);
    }
}
