use jarwright_reference::CupSystem;
use proptest::prelude::*;

use crate::files::{Amount, AmountUnit, Fault, WeighError, Weights};

fn amount(quantity: f64, unit: AmountUnit) -> Result<Amount, Fault> {
    Ok(Amount { quantity, unit })
}

#[test]
fn amounts_are_read_as_cooks_write_them() {
    let large = AmountUnit::Piece("large".into());
    let head = AmountUnit::Piece("head".into());
    for (text, want) in [
        ("2 1/2 cup", amount(2.5, AmountUnit::Cup)),
        ("2½ cup", amount(2.5, AmountUnit::Cup)),
        ("2 ½ cups", amount(2.5, AmountUnit::Cup)),
        ("1/4 cup", amount(0.25, AmountUnit::Cup)),
        ("1⁄4 cup", amount(0.25, AmountUnit::Cup)),
        ("¾ tsp", amount(0.75, AmountUnit::Teaspoon)),
        ("12 large", amount(12.0, large)),
        ("1 1/2 heads", amount(1.5, head)),
        ("380 g", amount(380.0, AmountUnit::Gram)),
        ("380g", amount(380.0, AmountUnit::Gram)),
        ("2.25 kg", amount(2.25, AmountUnit::Kilogram)),
        ("1 pint", amount(1.0, AmountUnit::Pint)),
        ("1 1/2 qt", amount(1.5, AmountUnit::Quart)),
        ("8 lb", amount(8.0, AmountUnit::Pound)),
        ("8 Lbs", amount(8.0, AmountUnit::Pound)),
        ("6 fl oz", amount(6.0, AmountUnit::FluidOunce)),
        (" 3 tbsp ", amount(3.0, AmountUnit::Tablespoon)),
        ("5/4 l", amount(1.25, AmountUnit::Litre)),
    ] {
        assert_eq!(Amount::parse(text), want, "{text}");
    }
}

#[test]
fn an_amount_that_is_not_one_is_refused_with_what_to_write() {
    for (text, words) in [
        ("", "no number"),
        ("some", "no number at the start of \"some\""),
        ("3-4 tbsp", "a range"),
        ("3 – 4 tbsp", "a range"),
        ("3 to 4 tbsp", "a range"),
        ("3 or 4 tbsp", "a range"),
        ("2,5 kg", "a comma in a number"),
        ("1,200 g", "a comma in a number"),
        ("2 1/0 cup", "a fraction over zero"),
        ("2 3/2 cup", "fraction is not below 1"),
        ("1/2/3 cup", "is not one number"),
        ("1 2 cup", "is not one number"),
        ("1.2.3 g", "is not one number"),
        ("1e9 g", "is not one number"),
        ("12345678901234567 g", "too long"),
        ("2", "an amount without a unit"),
        ("-2 cup", "negative amount"),
        ("−2 cup", "negative amount"),
        ("0 cup", "an amount of zero"),
        ("5000 kg", "absurd amount"),
        ("0.0000001 g", "absurd amount"),
        ("900000 large", "absurd amount"),
        ("NaN g", "no number"),
        ("inf g", "no number"),
        ("2 T", "unclear unit \"T\""),
    ] {
        let fault = Amount::parse(text).map_err(|fault| fault.to_string());
        assert!(
            fault.as_ref().is_err_and(|fault| fault.contains(words)),
            "{text}: {fault:?}"
        );
    }
    let hint = Amount::parse("2,5 kg")
        .err()
        .and_then(|fault| fault.hint)
        .unwrap_or_default();
    assert!(hint.contains("2.5 kg"), "{hint}");
}

#[test]
fn a_misspelt_unit_names_the_nearest() {
    let near = |text| Amount::parse(text).err().and_then(|fault| fault.nearest);
    assert_eq!(near("2 cupp").as_deref(), Some("cup"));
    assert_eq!(near("2 tbps").as_deref(), Some("tbsp"));
    assert_eq!(near("2 larg").as_deref(), Some("large"));
    assert_eq!(near("2 bathtubs"), None);
}

#[test]
fn half_a_pound_and_eight_ounces_weigh_the_same() {
    let water = Weights {
        name: "water",
        density_g_ml: Some(1.0),
        pieces_g: Vec::new(),
    };
    let g = |text: &str, cup| {
        Amount::parse(text)
            .ok()
            .and_then(|amount| amount.weigh(&water, cup).ok())
            .unwrap_or(f64::NAN)
    };
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    near(g("1/2 lb", CupSystem::Us), g("8 oz", CupSystem::Us));
    near(g("4 cup", CupSystem::Us), g("1 quart", CupSystem::Us));
    near(g("16 tbsp", CupSystem::Us), g("1 cup", CupSystem::Us));
    near(g("8 pint", CupSystem::Imperial), g("1 gallon", CupSystem::Imperial));
    // UCUM 2.2 [cup_us], [cup_m]; [pt_br].
    near(g("1 cup", CupSystem::Us), 236.588_236_5);
    near(g("1 cup", CupSystem::UsLabel), 240.0);
    near(g("1 pint", CupSystem::Imperial), 568.261_25);
    near(g("1 kg", CupSystem::Us), 1000.0);
}

#[test]
fn an_egg_counts_by_its_published_weight_and_unknown_pieces_are_refused() {
    // SR28: large whole egg 50 g, yolk 17 g.
    let egg = Weights::of("egg, whole");
    let large = |count| Amount {
        quantity: count,
        unit: AmountUnit::Piece("large".into()),
    };
    assert_eq!(large(4.0).weigh(&egg, CupSystem::Us), Ok(200.0));
    assert_eq!(large(7.0).weigh(&Weights::of("egg yolk"), CupSystem::Us), Ok(119.0));
    let refused = large(1.0).weigh(&Weights::of("sugar"), CupSystem::Us);
    assert!(matches!(refused, Err(WeighError::NoPiece { .. })), "{refused:?}");
    let cup = Amount {
        quantity: 1.0,
        unit: AmountUnit::Cup,
    };
    let refused = cup.weigh(
        &Weights {
            name: "moss",
            density_g_ml: None,
            pieces_g: Vec::new(),
        },
        CupSystem::Us,
    );
    assert_eq!(
        refused,
        Err(WeighError::NoDensity {
            ingredient: "moss".into()
        })
    );
}

fn units() -> impl Strategy<Value = AmountUnit> {
    let mut units = AmountUnit::MEASURES.to_vec();
    units.extend(["large", "fruit", "head"].map(|word| AmountUnit::Piece(word.into())));
    proptest::sample::select(units)
}

proptest! {
    #[test]
    fn an_amount_written_is_read_back_to_the_last_bit(
        eighths in 1u32..800,
        parts in proptest::sample::select(vec![1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 1000.0]),
        unit in units(),
    ) {
        let amount = Amount { quantity: f64::from(eighths) / parts, unit };
        match Amount::parse(&amount.to_string()) {
            Ok(read) => prop_assert_eq!(read, amount),
            Err(fault) => prop_assert!(["absurd", "too long"].iter().any(|word| fault.what.contains(word)), "{fault}"),
        }
    }

    #[test]
    fn twice_the_amount_weighs_twice_as_much(quantity in 0.01f64..100.0, factor in 0.1f64..50.0, unit in units()) {
        let of = Weights {
            name: "fruit",
            density_g_ml: Some(0.8),
            pieces_g: vec![("large", 50.0), ("fruit", 20.0), ("head", 8.0)],
        };
        let amount = Amount { quantity, unit };
        let (Ok(once), Ok(scaled)) = (amount.weigh(&of, CupSystem::Us), amount.times(factor).weigh(&of, CupSystem::Us))
        else { return Err(TestCaseError::fail("no weight")) };
        prop_assert!((scaled - once * factor).abs() <= 1e-9 * scaled);
    }

    #[test]
    fn arbitrary_text_is_no_panic_and_never_a_useless_amount(text in ".{0,30}") {
        if let Ok(amount) = Amount::parse(&text) {
            prop_assert!(amount.quantity.is_finite() && amount.quantity > 0.0);
        }
    }

    #[test]
    fn near_amounts_are_no_panic(text in "[0-9 ½⅓./,–-]{0,8} ?(cup|g|tbps|large)?") {
        let _ = Amount::parse(&text);
    }
}
