//! Where the jars may be kept, and what could hurt someone.

use jarwright_kitchen::Plan;
use jarwright_kitchen::plan::{Reason, Verdict};
use jarwright_papers::words;

use super::page::Page;

/// Verdicts: the state first, then why, then what is missing.
pub fn verdicts(page: &mut Page, plan: &Plan) {
    page.heading("Where it may be kept");
    let mut formula = "";
    for verdict in &plan.verdicts {
        if verdict.formula != formula {
            if !formula.is_empty() {
                page.gap();
            }
            page.line(2, &verdict.formula);
            formula = &verdict.formula;
        }
        one(page, verdict);
    }
    page.gap();
    page.line(
        2,
        "Local law and a licensed authority decide; these are the published rules the program knows.",
    );
}

fn one(page: &mut Page, verdict: &Verdict) {
    let state = match verdict.state {
        "open" => "OPEN",
        "only-with" => "ONLY WITH what is missing below",
        "closed" => "CLOSED",
        other => other,
    };
    page.line(4, &format!("{}: {state}", capital(verdict.route)));
    for reason in &verdict.reasons {
        page.item(6, "- ", &reason.text);
        page.line(8, &origin(reason));
    }
    for missing in &verdict.missing {
        page.item(6, "missing: ", missing);
    }
    if let Some(keeps) = &verdict.keeps {
        page.item(
            6,
            "keeps: ",
            &format!("{}, the earliest limit below", words::figure(keeps)),
        );
    }
    page.list(8, &verdict.keeping);
    for how in &verdict.how {
        page.item(6, "how: ", how);
    }
}

fn origin(reason: &Reason) -> String {
    let parts: Vec<&str> = [
        reason.jurisdiction.as_str(),
        reason.source.as_str(),
        reason.edition.as_str(),
        reason.mark,
        reason.rule.as_str(),
    ]
    .into_iter()
    .filter(|part| !part.is_empty())
    .collect();
    format!("[{}]", parts.join("; "))
}

/// Cautions, by the step they belong to.
pub fn cautions(page: &mut Page, plan: &Plan) {
    page.heading("Cautions");
    for caution in &plan.cautions {
        let whose = if caution.formula.is_empty() {
            String::new()
        } else {
            format!(" ({})", caution.formula)
        };
        page.item(2, "! ", &format!("{}{whose}: {}", capital(caution.at), caution.text));
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
