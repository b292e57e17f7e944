//! Work on record into its lines on the page. In: repairs and pairs of pictures. Out: what was done, what is new, what is hidden and not
//! cured, and two pictures beside each other, as finished strings.

pub(in crate::report) mod changed;
pub(in crate::report) mod covered;
mod new_material;
