//! Formula, stores, equipment and an order become a plan.
//!
//! The only place where a rule becomes a decision. Knows no file, no socket and no clock: texts
//! and the time are arguments. Read next: `order.rs` (what is asked), `planning.rs` (how it is
//! answered), `plan.rs` (the answer).
//!
//! Floor 3.

pub mod files;
pub mod order;
pub mod plan;

pub use order::{Law, Much, Order, Use, Wanted};
pub use plan::Plan;
