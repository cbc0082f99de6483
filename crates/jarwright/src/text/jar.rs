//! A jar on the bench as text.

use jarwright_papers::words::both_scales;

use super::page::Page;
use crate::jar_bench::{Sample, Solved, apart_k};

/// What one or two solvers found.
#[must_use]
pub fn jar(solved: &[Solved]) -> String {
    let mut page = Page::new();
    for one in solved {
        page.heading(name(one));
        page.table(2, &rows(one), &[false, true, true, true]);
        page.gap();
        for lethality in &one.lethality {
            let both = lethality.heating_min + lethality.cooling_min;
            page.item(
                2,
                "Dose   ",
                &format!(
                    "{both:.3} min at {} (z {} K) in the centre: {:.3} heating, {:.3} cooling",
                    both_scales(lethality.reference_c, 1),
                    lethality.z_k,
                    lethality.heating_min,
                    lethality.cooling_min
                ),
            );
        }
        page.item(2, "Solved ", &effort(one));
    }
    if let [a, b] = solved {
        page.gap();
        page.line(
            2,
            &format!("The two centres are never more than {:.3} K apart.", apart_k(a, b)),
        );
    }
    page.gap();
    page.line(
        0,
        "Heat is taken to be conducted: food that circulates in its jar heats otherwise. A computed dose \
         explains a process and replaces none; local law and a licensed authority decide.",
    );
    page.text()
}

fn name(solved: &Solved) -> &'static str {
    if solved.solver == "modes" {
        "By eigenfunctions"
    } else {
        "By cells"
    }
}

fn rows(solved: &Solved) -> Vec<Vec<String>> {
    let row = |what: &str, sample: &Sample| {
        let mut row = vec![format!("{what}, {:.0} s", sample.t_s)];
        row.extend([sample.centre_c, sample.coldest_c, sample.mean_c].map(|c| both_scales(c, 2)));
        row
    };
    let mut told: Vec<(f64, Vec<String>)> = Vec::new();
    for (i, end_s) in solved.phase_ends_s.iter().enumerate() {
        let at = solved.samples.partition_point(|s| s.t_s < end_s - 1e-6);
        if let Some(sample) = solved.samples.get(at) {
            told.push((sample.t_s, row(&format!("phase {} ends", i + 1), sample)));
        }
    }
    let peak = &solved.peak;
    let at = told.partition_point(|(t, _)| *t <= peak.t_s);
    told.insert(at, (peak.t_s, row("centre hottest", peak)));
    let head = ["", "centre", "coldest on the axis", "mean of the food"].map(str::to_owned);
    std::iter::once(head.to_vec())
        .chain(told.into_iter().map(|(_, row)| row))
        .collect()
}

fn effort(solved: &Solved) -> String {
    let many = match solved.solves {
        1 => "one solve".to_owned(),
        many => format!("median of {many} solves"),
    };
    let what = match solved.truncation_k {
        Some(k) => format!(
            "{} product functions; what is left out moves the centre by {k:.0e} K at most",
            solved.size
        ),
        None => format!(
            "{} cells; heat lost {:.0e} of that exchanged",
            solved.size, solved.energy_error
        ),
    };
    format!(
        "in {:.1} µs ({many}, from the case to dose, peak and phase ends); {what}",
        solved.solve_us
    )
}
