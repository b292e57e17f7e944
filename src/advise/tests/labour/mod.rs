//! Plans and their hours.

mod hours;
mod plan;
mod plan_order;
mod plan_properties;
