//! Laws of a pot followed through time: energy, agreement with the quick pot, wall and film.

use jarwright_figure::{Kinetics, Unchanging};
use jarwright_heat::HeatError;
use jarwright_heat::follow::{Filling, Followed, Measured, Setting, Until, follow};
use jarwright_heat::heated_vessel::Vessel;
use jarwright_heat::pot::{Addition, Charge, Cook, Heating, Pot, boil_for, boil_to_brix, bowl, cook_to_c};
use jarwright_matter::{Food, thermal};
use proptest::prelude::*;

fn on_hob(into_pot_w: f64) -> Setting {
    Setting {
        vessel: Vessel::StraightPot {
            diameter_m: 0.30,
            into_pot_w,
        },
        wall_m: 0.001,
        pot_j_k: 700.0,
        stirs_s: Some(1.0),
        sweep: 0.5,
        wiped_s: None,
        lid: false,
        room_c: 21.0,
        humidity: 0.5,
        pressure_pa: 101_325.0,
        measured_pa_s: None,
    }
}

fn over_steam(steam_w: f64) -> Setting {
    Setting {
        vessel: Vessel::BowlOverSteam {
            diameter_m: 0.34,
            steam_c: 100.0,
            steam_w,
            air_kg_kg: 0.5,
        },
        ..on_hob(0.0)
    }
}

/// The same pot for the quick solver, whose surface is given.
fn quick(setting: &Setting, into_pot_w: f64) -> Pot {
    Pot {
        heating: Heating::Direct { into_pot_w },
        surface_m2: std::f64::consts::FRAC_PI_4 * 0.09,
        diameter_m: 0.30,
        pot_j_k: setting.pot_j_k,
        room_c: setting.room_c,
        humidity: setting.humidity,
        pressure_pa: setting.pressure_pa,
        stirred: true,
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

/// Curd as it goes over the steam: juice, sugar, yolk, butter.
fn curd(kg: f64) -> Food {
    Food {
        water_kg: 0.42,
        sucrose_kg: 0.35,
        fat_kg: 0.17,
        protein_kg: 0.05,
        ..Food::default()
    }
    .scaled(kg)
}

fn plain(setting: &Setting, food: &Food, until: Until) -> Result<Followed, HeatError> {
    follow(setting, &Filling::Composed(food), 20.0, &[], until, &Unchanging)
}

/// One share that grows with heat and thickens the food: an egg's sketch.
struct Sets {
    thickens: f64,
}

impl Kinetics for Sets {
    fn shares(&self) -> &'static [&'static str] {
        &["set"]
    }

    fn advance(&self, state: &mut [f64], from_c: f64, to_c: f64, seconds: f64) {
        let rate = 0.004 * (0.2 * (0.5 * (from_c + to_c) - 78.0)).exp();
        for share in state {
            *share = 1.0 - (1.0 - *share) * (-rate * seconds).exp();
        }
    }

    fn thickening(&self, state: &[f64]) -> f64 {
        state.iter().map(|share| self.thickens.powf(*share)).product()
    }
}

fn sets(setting: &Setting, food: &Food, c: f64, thickens: f64) -> Result<Followed, HeatError> {
    let filling = Filling::Composed(food);
    let until = Until::Temperature(c, 0.0);
    follow(setting, &filling, 20.0, &[], until, &Sets { thickens })
}

/// Enthalpy above 0 °C [J] from the heat capacity alone.
fn enthalpy_j(food: &Food, c: f64) -> Result<f64, HeatError> {
    let strips = 64;
    let step = c / f64::from(strips);
    let mut sum = 0.0;
    for i in 0..strips {
        let at = (f64::from(i) + 0.5) * step;
        sum += food.mass_kg() * thermal(food, at)?.heat_capacity_j_kgk * step;
    }
    Ok(sum)
}

#[test]
fn energy_in_is_energy_out_and_energy_held_and_losses_are_the_surfaces_own() -> Result<(), HeatError> {
    let pots = [
        (on_hob(1500.0), Until::Temperature(78.0, 300.0)),
        (over_steam(900.0), Until::Temperature(78.0, 0.0)),
        (on_hob(2500.0), Until::Brix(62.0)),
        (on_hob(2500.0), Until::Boiled(900.0)),
        (on_hob(1500.0), Until::Time(1200.0)),
    ];
    for (setting, until) in pots {
        let start = jam(3.0);
        let pot = plain(&setting, &start, until)?;
        let held_j = enthalpy_j(&pot.food, pot.end_c)? - enthalpy_j(&start, 20.0)? + 700.0 * (pot.end_c - 20.0);
        let miss = (pot.energy_j - pot.lost_j - pot.vapour_j - held_j) / pot.energy_j;
        assert!(miss.abs() < 5e-4, "{until:?}: {miss}");
        assert!(
            pot.lost_j > 0.0 && pot.lost_j < 0.2 * pot.energy_j,
            "{until:?}: {}",
            pot.lost_j
        );
        let gone_kg = start.mass_kg() - pot.food.mass_kg();
        assert!((gone_kg - pot.evaporated_kg).abs() < 1e-9);
    }
    Ok(())
}

fn near(pot: &Followed, cook: &Cook, what: &str) {
    let time = pot.seconds / cook.seconds - 1.0;
    assert!(time.abs() < 5e-3, "{what}: {} s and {} s", pot.seconds, cook.seconds);
    assert!(
        (pot.evaporated_kg - cook.evaporated_kg).abs() < 0.01 * cook.evaporated_kg + 2e-4,
        "{what}: {} kg and {} kg",
        pot.evaporated_kg,
        cook.evaporated_kg
    );
    assert!(
        (pot.end_c - cook.end_c).abs() < 0.15,
        "{what}: {} and {}",
        pot.end_c,
        cook.end_c
    );
}

#[test]
fn the_followed_pot_agrees_with_the_quick_one() -> Result<(), HeatError> {
    let charge = Charge {
        food: jam(3.0),
        start_c: 20.0,
    };
    for w in [900.0, 1500.0, 2500.0] {
        let setting = on_hob(w);
        let other = quick(&setting, w);
        let warm = plain(&setting, &charge.food, Until::Temperature(75.0, 0.0))?;
        near(&warm, &cook_to_c(&other, &charge, &[], 75.0, 0.0)?, "to 75 °C");
        let down = plain(&setting, &charge.food, Until::Brix(62.0))?;
        near(&down, &boil_to_brix(&other, &charge, &[], 62.0)?, "to 62 °Brix");
    }
    let timed = plain(&on_hob(2500.0), &charge.food, Until::Boiled(900.0))?;
    near(
        &timed,
        &boil_for(&quick(&on_hob(2500.0), 2500.0), &charge, &[], 15.0)?,
        "boiled 15 min",
    );
    Ok(())
}

#[test]
fn a_bowl_of_a_given_coefficient_agrees_with_the_quick_one_and_keeps_its_wall_below_the_steam() -> Result<(), HeatError>
{
    let food = curd(3.0);
    let charge = Charge {
        food: food.clone(),
        start_c: 20.0,
    };
    let volume_m3 = food.mass_kg() / thermal(&food, 60.0)?.density_kg_m3;
    let bowl = bowl(0.34, volume_m3)?;
    for (steam_w, u_w_m2k) in [(800.0, 300.0), (5000.0, 300.0), (5000.0, 150.0), (5000.0, 600.0)] {
        let setting = Setting {
            vessel: Vessel::BowlOfCoefficient {
                diameter_m: 0.34,
                steam_c: 100.0,
                steam_w,
                u_w_m2k,
            },
            // Without a lid the level sinks, and the bowl with it takes less heat than the quick one's.
            lid: true,
            ..on_hob(0.0)
        };
        let other = Pot {
            heating: Heating::OverSteam {
                steam_c: 100.0,
                area_m2: bowl.wetted_m2,
                u_w_m2k,
                burner_w: steam_w,
            },
            surface_m2: 0.0,
            ..quick(&setting, 0.0)
        };
        let pot = plain(&setting, &food, Until::Temperature(77.0, 0.0))?;
        near(&pot, &cook_to_c(&other, &charge, &[], 77.0, 0.0)?, "over steam");
        for (lid, thickens) in [(true, 1.0), (true, 50.0), (false, 1.0), (false, 50.0)] {
            let setting = Setting { lid, ..setting };
            // Even where the film sets and alone would hold up more than the coefficient does.
            let pot = sets(&setting, &food, 70.0, thickens)?;
            assert!(pot.hottest_wall_c < 100.0 && pot.moments.iter().all(|m| m.wall_c >= m.bulk_c));
        }
    }
    Ok(())
}

#[test]
fn an_addition_cools_the_pot_and_is_heated_back() -> Result<(), HeatError> {
    let butter = Addition {
        food: Food {
            water_kg: 0.05,
            fat_kg: 0.25,
            ..Food::default()
        },
        c: 5.0,
        when_c: Some(60.0),
    };
    let setting = on_hob(1200.0);
    let until = Until::Temperature(77.0, 0.0);
    let food = jam(2.0);
    let filling = Filling::Composed(&food);
    let with = follow(
        &setting,
        &filling,
        20.0,
        std::slice::from_ref(&butter),
        until,
        &Unchanging,
    )?;
    let dip = with
        .moments
        .windows(2)
        .any(|w| (w[1].t_s - w[0].t_s).abs() < 1e-12 && w[1].bulk_c < w[0].bulk_c - 4.0);
    assert!(dip && (with.end_c - 77.0).abs() < 1e-6);
    let charge = Charge {
        food: jam(2.0),
        start_c: 20.0,
    };
    near(
        &with,
        &cook_to_c(&quick(&setting, 1200.0), &charge, &[butter], 77.0, 0.0)?,
        "with butter",
    );
    Ok(())
}

#[test]
fn egg_sets_at_the_wall_before_the_middle_and_the_wall_is_the_hotter() -> Result<(), HeatError> {
    for setting in [on_hob(1200.0), over_steam(800.0)] {
        let pot = sets(&setting, &curd(3.0), 77.0, 1.0)?;
        for moment in pot.moments.iter().skip(1) {
            assert!(moment.wall_c >= moment.bulk_c && moment.film >= moment.bulk);
        }
        assert!(pot.hottest_wall_c > 79.0);
    }
    Ok(())
}

#[test]
fn a_wall_over_steam_is_never_hotter_than_the_steam() -> Result<(), HeatError> {
    for kg in [1.0, 2.0, 6.0] {
        let pot = sets(&over_steam(1e5), &curd(kg), 70.0, 50.0)?;
        assert!(pot.hottest_wall_c < 100.0, "{}", pot.hottest_wall_c);
    }
    Ok(())
}

#[test]
fn a_film_that_sets_slows_the_bowl_and_heats_the_wall_on_a_hob() -> Result<(), HeatError> {
    let bowl = |thickens| sets(&over_steam(1e5), &curd(3.0), 72.0, thickens);
    assert!(bowl(50.0)?.seconds > 1.02 * bowl(1.0)?.seconds);
    let hob = |thickens| sets(&on_hob(450.0), &curd(3.0), 80.0, thickens);
    let (thin, thick) = (hob(1.0)?, hob(50.0)?);
    assert!(thick.hottest_wall_c > thin.hottest_wall_c + 2.0);
    // The hob gives its heat whatever the film is.
    assert!((thick.seconds / thin.seconds - 1.0).abs() < 1e-6);
    Ok(())
}

#[test]
fn who_does_not_stir_waits_longer_over_steam_and_burns_more_on_a_hob() -> Result<(), HeatError> {
    let still = |setting: Setting| Setting {
        stirs_s: None,
        ..setting
    };
    let (bowl, hob) = (over_steam(1e5), on_hob(1200.0));
    let until = Until::Temperature(70.0, 0.0);
    assert!(plain(&still(bowl), &curd(3.0), until)?.seconds > 1.2 * plain(&bowl, &curd(3.0), until)?.seconds);
    let hottest = |setting: &Setting| plain(setting, &curd(3.0), until).map(|pot| pot.hottest_wall_c);
    assert!(hottest(&still(hob))? > hottest(&hob)? + 5.0);
    Ok(())
}

#[test]
fn a_bigger_batch_in_a_bowl_takes_longer_but_not_in_proportion() -> Result<(), HeatError> {
    let minutes = |kg: f64| plain(&over_steam(1e5), &curd(kg), Until::Temperature(77.0, 0.0)).map(|p| p.seconds / 60.0);
    let (two, four, eight) = (minutes(2.0)?, minutes(4.0)?, minutes(8.0)?);
    assert!(four > two && eight > four);
    // Volume grows about as depth squared, the wetted wall as depth: the time as the root of the
    // mass, less what the growing open surface loses.
    let growth = (eight / four).ln() / 2_f64.ln();
    assert!((0.2..1.0).contains(&growth), "{growth}");
    Ok(())
}

#[test]
fn a_heavy_pot_carries_over_more_than_a_light_one_and_a_held_one_less() -> Result<(), HeatError> {
    let carried = |pot_j_k: f64, hold_s: f64| {
        let setting = Setting {
            pot_j_k,
            ..on_hob(1500.0)
        };
        plain(&setting, &curd(2.0), Until::Temperature(77.0, hold_s)).map(|pot| pot.carry_over_k)
    };
    assert!(carried(3000.0, 0.0)? > carried(300.0, 0.0)?);
    assert!(carried(3000.0, 120.0)? < carried(3000.0, 0.0)? && carried(3000.0, 120.0)? > 0.0);
    Ok(())
}

#[test]
fn a_lid_saves_time_and_keeps_the_water() -> Result<(), HeatError> {
    let lid = Setting {
        lid: true,
        ..on_hob(800.0)
    };
    let until = Until::Temperature(80.0, 0.0);
    let (covered, open) = (plain(&lid, &jam(3.0), until)?, plain(&on_hob(800.0), &jam(3.0), until)?);
    assert!(covered.seconds < open.seconds && covered.evaporated_kg.abs() < 1e-12);
    let boiled = plain(&lid, &jam(3.0), Until::Boiled(300.0))?;
    assert!(boiled.boils && boiled.evaporated_kg.abs() < 1e-12);
    assert!(matches!(
        plain(&lid, &jam(3.0), Until::Brix(62.0)),
        Err(HeatError::NeverReaches { .. })
    ));
    Ok(())
}

#[test]
fn a_pot_that_stands_below_its_target_is_refused_with_where_it_stands() {
    for refused in [
        plain(&on_hob(60.0), &jam(2.0), Until::Temperature(78.0, 0.0)),
        plain(&over_steam(2000.0), &jam(2.0), Until::Temperature(101.0, 0.0)),
        plain(&on_hob(2000.0), &jam(2.0), Until::Temperature(120.0, 0.0)),
    ] {
        assert!(
            matches!(refused, Err(HeatError::NeverReaches { limit, target, .. }) if limit < target && limit > 30.0),
            "{refused:?}"
        );
    }
}

#[test]
fn measured_properties_stand_in_for_a_composition() -> Result<(), HeatError> {
    let warm = thermal(&jam(1.0), 48.0)?;
    let measured = Measured {
        conductivity_w_mk: warm.conductivity_w_mk,
        density_kg_m3: warm.density_kg_m3,
        heat_capacity_j_kgk: warm.heat_capacity_j_kgk,
    };
    let lid = Setting {
        lid: true,
        ..on_hob(1500.0)
    };
    let until = Until::Temperature(78.0, 0.0);
    let by_figures = follow(&lid, &Filling::Measured(3.0, measured), 20.0, &[], until, &Unchanging)?;
    let by_composition = plain(&lid, &jam(3.0), until)?;
    assert!((by_figures.seconds / by_composition.seconds - 1.0).abs() < 5e-3);
    Ok(())
}

proptest! {
    #[test]
    fn more_power_never_takes_longer(w in 500.0..3000.0_f64, kg in 0.3..8.0_f64) {
        let until = Until::Temperature(70.0, 0.0);
        let (slow, fast) = (plain(&on_hob(w), &jam(kg), until), plain(&on_hob(1.2 * w), &jam(kg), until));
        if let (Ok(slow), Ok(fast)) = (slow, fast) {
            prop_assert!(fast.seconds < slow.seconds);
        }
    }

    #[test]
    fn no_input_panics(
        w in prop::num::f64::ANY, c in prop::num::f64::ANY, kg in prop::num::f64::ANY,
        target in prop::num::f64::ANY, pick in 0..4_usize,
    ) {
        let until = [Until::Temperature(target, c), Until::Brix(target), Until::Boiled(target), Until::Time(target)][pick];
        for setting in [on_hob(w), over_steam(w), Setting { sweep: target, wall_m: c, ..on_hob(1000.0) }] {
            let food = jam(kg);
            let filling = Filling::Composed(&food);
            let _ = follow(&setting, &filling, c, &[], until, &Unchanging);
            let _ = follow(&setting, &Filling::Composed(&jam(1.0)), 20.0, &[], until, &Sets { thickens: 50.0 });
        }
    }
}
