//! What every page shares: the keeper of texts, the plans that are worked out, who may ask.

use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Mutex, PoisonError};

use jarwright_figure::Figure;
use jarwright_kitchen::departing::{Departed, Planned, PlannedJar};
use jarwright_kitchen::files::{self, FormulaFile, KitchenFile, Problem, RunFile, StoresFile};
use jarwright_kitchen::ports::{Draft, Hash, Keeper, Kept, Name, Text, Version, Who};
use jarwright_kitchen::{Order, Plan, PlanError, PlannedPot, PotWatched, Wanted, plan_with_jars};
use jiff::Timestamp;
use jiff::civil::DateTime;
use maud::Markup;
use tokio::sync::broadcast;

use crate::formula::Weighed;
use crate::guard::{Hosts, Key, Lock, Passphrase, Tempo, Turns};
use crate::held::Held;
use crate::trouble::Trouble;

/// Answers of a kind that are held ready.
const MOST_PLANS: usize = 64;

/// Texts being tried that are remembered for their whys.
const MOST_DRAFTS: usize = 64;

/// The house, as every handler gets it.
pub type Shared = Arc<House>;

/// What the program hands to the pages.
pub struct Parts {
    /// Keeps formulas, kitchen, stores and runs.
    pub keeper: Arc<dyn Keeper>,
    /// An invented kitchen to begin with.
    pub example: Example,
    /// The local time.
    pub clock: fn() -> DateTime,
    /// Name and version of the program.
    pub program: &'static str,
    /// Hosts a request may name.
    pub hosts: Hosts,
    /// What opens the door; none where nobody but this machine's people can knock.
    pub passphrase: Option<Passphrase>,
    /// Whether the pages are served over TLS.
    pub secure: bool,
    /// Secret of visits and form tokens: the same at every start, so that a form that was open
    /// meanwhile can still be sent.
    pub key: Key,
}

/// Texts of an invented kitchen.
#[derive(Debug, Clone, Copy)]
pub struct Example {
    /// Its kitchen file.
    pub kitchen: &'static str,
    /// Its stores file.
    pub stores: &'static str,
    /// Its formulas: name and text.
    pub formulas: &'static [(&'static str, &'static str)],
}

/// What every page shares.
pub struct House {
    /// Keeps formulas, kitchen, stores and runs.
    pub(crate) keeper: Arc<dyn Keeper>,
    pub(crate) example: Example,
    pub(crate) clock: fn() -> DateTime,
    pub(crate) program: &'static str,
    pub(crate) hosts: Hosts,
    pub(crate) lock: Option<Lock>,
    pub(crate) secure: bool,
    pub(crate) tempo: Tempo,
    pub(crate) turns: Turns,
    pub(crate) key: Key,
    /// What changed, for pages that listen.
    pub(crate) changes: broadcast::Sender<Changed>,
    /// Who may keep a core busy at once.
    /// Plans by their run's text.
    plans: Held<Worked>,
    /// What formulas come to, by their text and what they stand in.
    pub(crate) weighed: Held<Weighed>,
    /// What jars go through, by run, jar and what is changed.
    pub(crate) departed: Held<Departed>,
    /// What pots go through, by run, pot and what is changed.
    pub(crate) watched: Held<PotWatched>,
    /// The quantities behind a jar's answer, by the same.
    pub(crate) reasons: Held<BTreeMap<String, Figure>>,
    /// Their films, by the same and the language.
    pub(crate) films: Held<Option<Markup>>,
    drafts: Mutex<VecDeque<Text>>,
}

/// Something that was kept or withdrawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// Its kind.
    pub kind: Kept,
    /// Its name.
    pub name: Name,
    /// The version that stands now.
    pub number: u64,
}

/// A run with everything it was made from, and its plan.
#[derive(Debug)]
pub struct Worked {
    /// The question.
    pub run: RunFile,
    /// Its formulas, in order.
    pub formulas: Vec<FormulaFile>,
    /// Its kitchen.
    pub kitchen: KitchenFile,
    /// Its stores.
    pub stores: StoresFile,
    /// The plan, or why there is none.
    pub plan: Result<Plan, PlanError>,
    /// Its jars, one a formula, to be asked again with something changed.
    pub jars: Vec<PlannedJar>,
    /// Its pots, likewise.
    pub pots: Vec<PlannedPot>,
}

impl House {
    /// A house of these parts.
    #[must_use]
    pub fn new(parts: Parts) -> Shared {
        let (changes, _) = broadcast::channel(64);
        Arc::new(Self {
            keeper: parts.keeper,
            example: parts.example,
            clock: parts.clock,
            program: parts.program,
            hosts: parts.hosts,
            lock: parts.passphrase.map(Lock::new),
            secure: parts.secure,
            tempo: Tempo::default(),
            turns: Turns::of_cores(std::thread::available_parallelism().map_or(1, usize::from)),
            key: parts.key,
            changes,
            plans: Held::new(MOST_PLANS),
            weighed: Held::new(MOST_PLANS),
            departed: Held::new(MOST_PLANS),
            watched: Held::new(MOST_PLANS),
            reasons: Held::new(MOST_PLANS),
            films: Held::new(MOST_PLANS),
            drafts: Mutex::default(),
        })
    }

    /// The name everything of one kitchen is kept under.
    ///
    /// # Errors
    /// None in practice: the name is a good one.
    pub fn only(kind: Kept) -> Result<Name, Trouble> {
        Ok(Name::new(kind.word())?)
    }

    /// The kitchen's text that stands, if one does.
    ///
    /// # Errors
    /// [`Trouble`] where the keeper cannot be asked.
    pub async fn kitchen(&self) -> Result<Option<Version>, Trouble> {
        Ok(self.keeper.newest(Kept::Kitchen, &Self::only(Kept::Kitchen)?).await?)
    }

    /// The stores' text that stands, if one does.
    ///
    /// # Errors
    /// [`Trouble`] where the keeper cannot be asked.
    pub async fn stores(&self) -> Result<Option<Version>, Trouble> {
        Ok(self.keeper.newest(Kept::Stores, &Self::only(Kept::Stores)?).await?)
    }

    /// Keeps a text, and tells everybody who listens.
    ///
    /// # Errors
    /// [`Trouble::Overtaken`] where somebody else saved in between; others of the keeper.
    pub async fn keep(&self, kind: Kept, name: &Name, text: &str, after: Option<u64>) -> Result<Version, Trouble> {
        let draft = Draft {
            kind,
            name: name.clone(),
            text: Text::new(text)?,
            after,
            by: Who::new("pages")?,
            at: Timestamp::now(),
        };
        let version = self.keeper.save(draft).await?;
        // Nobody listening is no fault.
        let _ = self.changes.send(Changed {
            kind,
            name: name.clone(),
            number: version.number,
        });
        Ok(version)
    }

    /// A run, worked out from the very texts it names; held ready for the next page.
    ///
    /// # Errors
    /// [`Trouble`] where a text is missing or cannot be read.
    pub async fn worked(&self, run: &Version) -> Result<Arc<Worked>, Trouble> {
        self.worked_text(&run.text).await
    }

    /// As [`Self::worked`], of a run's text.
    ///
    /// # Errors
    /// As [`Self::worked`].
    pub async fn worked_text(&self, text: &Text) -> Result<Arc<Worked>, Trouble> {
        let ready = self.plans.get(&text.hash().to_string());
        if let Some(worked) = ready {
            return Ok(worked);
        }
        let worked = Arc::new(self.work(text.as_str()).await?);
        self.plans.put(text.hash().to_string(), Arc::clone(&worked));
        Ok(worked)
    }

    /// Remembers a text that is not kept, so that the whys of what it would make can be asked.
    ///
    /// # Errors
    /// [`Trouble`] for a text that could not be kept either.
    pub fn remember(&self, text: &str) -> Result<Hash, Trouble> {
        let text = Text::new(text)?;
        let hash = text.hash();
        let mut drafts = self.drafts.lock().unwrap_or_else(PoisonError::into_inner);
        if !drafts.iter().any(|draft| draft.hash() == hash) {
            if drafts.len() >= MOST_DRAFTS {
                drafts.pop_front();
            }
            drafts.push_back(text);
        }
        Ok(hash)
    }

    /// A kept or remembered text.
    ///
    /// # Errors
    /// [`Trouble::NotFound`] where there is none.
    pub async fn text_of(&self, hash: &str) -> Result<Text, Trouble> {
        let missing = || Trouble::not_found("a text of this hash");
        let hash: Hash = hash.parse().map_err(|_| missing())?;
        let remembered = {
            let drafts = self.drafts.lock().unwrap_or_else(PoisonError::into_inner);
            drafts.iter().find(|draft| draft.hash() == hash).cloned()
        };
        match remembered {
            Some(text) => Ok(text),
            None => self.keeper.content(&hash).await?.ok_or_else(missing),
        }
    }

    /// Keeps what a run was answered, beside its text.
    ///
    /// # Errors
    /// [`Trouble`] where the keeper cannot.
    pub async fn keep_answer(&self, run: &Version, worked: &Worked) -> Result<(), Trouble> {
        if let Ok(plan) = &worked.plan {
            let json = serde_json::to_string(plan).map_err(|_| Trouble::Ours {
                what: "the plan could not be written down".into(),
            })?;
            self.keeper
                .keep_answer(&run.hash(), &Who::new(self.program)?, &json)
                .await?;
        }
        Ok(())
    }

    /// Works a run's text out, nothing held.
    ///
    /// # Errors
    /// As [`Self::worked`].
    pub async fn work(&self, text: &str) -> Result<Worked, Trouble> {
        let run = files::read_run("run", text).map_err(|problems| unreadable("run", &problems))?;
        let kitchen_text = self.content(&run.kitchen, "kitchen").await?;
        let stores_text = match &run.stores {
            Some(hash) => Some(self.content(hash, "stores").await?),
            None => None,
        };
        let mut formula_texts = Vec::with_capacity(run.makes.len());
        for make in &run.makes {
            formula_texts.push((make.formula.clone(), self.content(&make.text, &make.formula).await?));
        }
        // Reading and planning keep a core busy: not on the threads that answer.
        self.turns
            .compute(move || {
                let stores = match &stores_text {
                    Some(text) => files::read_stores("stores", text.as_str()).map_err(|p| unreadable("stores", &p))?,
                    None => StoresFile::default(),
                };
                let kitchen =
                    files::read_kitchen("kitchen", kitchen_text.as_str()).map_err(|p| unreadable("kitchen", &p))?;
                let formulas = formula_texts
                    .iter()
                    .map(|(name, text)| {
                        files::read_formula_with(name, text.as_str(), Some(&stores)).map_err(|p| unreadable(name, &p))
                    })
                    .collect::<Result<Vec<FormulaFile>, Trouble>>()?;
                let order = order(&run, &formulas);
                let (plan, jars, pots) = match plan_with_jars(&order, &kitchen, &stores) {
                    Ok(Planned { plan, jars, pots }) => (Ok(plan), jars, pots),
                    Err(error) => (Err(error), Vec::new(), Vec::new()),
                };
                Ok(Worked {
                    run,
                    formulas,
                    kitchen,
                    stores,
                    plan,
                    jars,
                    pots,
                })
            })
            .await
    }

    async fn content(&self, hash: &Hash, what: &str) -> Result<Text, Trouble> {
        self.keeper
            .content(hash)
            .await?
            .ok_or_else(|| Trouble::not_found(format!("the text that this run has for its {what}")))
    }
}

/// The order of a run.
#[must_use]
pub fn order(run: &RunFile, formulas: &[FormulaFile]) -> Order {
    Order {
        lines: run
            .makes
            .iter()
            .zip(formulas)
            .map(|(make, formula)| Wanted {
                formula: formula.clone(),
                much: make.much.clone(),
                jar: make.jar.clone(),
            })
            .collect(),
        by: run.by,
        now: run.asked_at,
        for_use: run.for_use,
        market: run.market,
        altitude_m: run.altitude.as_ref().map(|written| written.value),
        bath_start_c: run.bath_start.as_ref().map(|written| written.value),
    }
}

/// Faults of a kept text, told together.
pub(crate) fn unreadable(what: &str, problems: &[Problem]) -> Trouble {
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    Trouble::unusable(
        format!("the {what} cannot be read: {}", told.join("; ")),
        "mend it on its own page",
    )
}
