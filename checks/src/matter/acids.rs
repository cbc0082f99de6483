//! Dissociation constants.

use jarwright_figure::Mark;
use jarwright_matter::Acid;

use super::{Claim, or_nan};
use crate::{Check, Worst};

pub(super) fn all() -> Vec<Check> {
    vec![benezeth_citric(), nist_46(), eden_bates_malic(), millero_citric()]
}

fn pk(acid: Acid, step: usize, at_c: f64) -> f64 {
    acid.steps()
        .get(step)
        .map_or(f64::NAN, |step| or_nan(step.pk_at(at_c), |pk| pk))
}

fn benezeth_citric() -> Check {
    let mut worst = Worst::default();
    for (step, printed) in [3.127, 4.759, 6.397].into_iter().enumerate() {
        worst.add(pk(Acid::Citric, step, 25.0), printed);
    }
    Claim {
        name: "citric-pk-benezeth",
        claim: "the three pKs of citric acid at 25 °C are those measured by hydrogen cell",
        source: "benezeth_1997",
        place: "abstract",
        mark: Mark::Seen,
        tolerance: 0.003,
        unit: "pK",
        why: "two critical compilations differ by 0.002, the abstract states the third decimal",
    }
    .held(&worst, "")
}

fn nist_46() -> Check {
    let mut worst = Worst::default();
    for (acid, step, printed) in [
        (Acid::Citric, 0, 3.128),
        (Acid::Citric, 1, 4.761),
        (Acid::Citric, 2, 6.396),
        (Acid::Tartaric, 0, 3.036),
        (Acid::Tartaric, 1, 4.366),
        (Acid::Acetic, 0, 4.757),
        (Acid::Phosphoric, 0, 2.148),
        (Acid::Phosphoric, 1, 7.198),
        (Acid::Phosphoric, 2, 12.375),
        (Acid::Carbonic, 0, 6.352),
        (Acid::Carbonic, 1, 10.329),
        (Acid::Benzoic, 0, 4.202),
        (Acid::Phthalic, 0, 2.950),
        (Acid::Phthalic, 1, 5.408),
    ] {
        worst.add(pk(acid, step, 25.0), printed);
    }
    Claim {
        name: "pk-nist-46",
        claim: "pKs at 25 °C and zero ionic strength agree with a second critical compilation",
        source: "nist_46",
        place: "as carried by the database minteq.v4",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.003,
        unit: "pK",
        why: "the two compilations differ by up to 0.002",
    }
    .held(
        &worst,
        "the third step of phosphoric acid is taken from this compilation",
    )
}

fn eden_bates_malic() -> Check {
    let mut worst = Worst::default();
    for at_c in [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0] {
        let t = at_c + 273.15;
        worst.add(pk(Acid::Malic, 0, at_c), 1358.85 / t - 5.1382 + 0.013_550 * t);
        worst.add(pk(Acid::Malic, 1, at_c), 1658.53 / t - 6.2364 + 0.019_353 * t);
    }
    Claim {
        name: "malic-pk-temperature",
        claim: "both pKs of malic acid follow the equations measured from 0 to 50 °C",
        source: "eden_bates_1959",
        place: "equations of -log K1 and -log K2",
        mark: Mark::ThirdPartyCopy,
        tolerance: 0.003,
        unit: "pK",
        why: "another form of temperature law, fitted to the same values",
    }
    .held(
        &worst,
        "the program's enthalpy and heat capacity of malic acid come from these equations",
    )
}

fn millero_citric() -> Check {
    let mut worst = Worst::default();
    for at_c in [5.0, 15.0, 25.0, 35.0, 45.0, 60.0] {
        let t: f64 = at_c + 273.15;
        let ln_k = -646.522_80 + 14_264.185_5 / t + 115.345_10 * t.ln() - 0.2204 * t;
        worst.add(pk(Acid::Citric, 0, at_c), -ln_k / std::f64::consts::LN_10);
    }
    Claim {
        name: "citric-pk1-temperature",
        claim: "the first pK of citric acid follows an equation fitted to other workers' measurements, 5 to 60 °C",
        source: "millero_citric",
        place: "abstract, ln K1",
        mark: Mark::Seen,
        tolerance: 0.015,
        unit: "pK",
        why: "the published enthalpies, 4.07 and 4.1 kJ/mol, and heat capacities, -131 and -162 J/(mol K), differ that much at 60 °C",
    }
    .held(&worst, "the abstract prints sign errors in ln K2 and ln K3; ln K1 is right as printed")
}
