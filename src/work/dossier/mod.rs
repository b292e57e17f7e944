//! A piece of the book into a package for a third party. In: a book and a claim. Out: what it would tell, and the package.

pub(in crate::work) mod asked;
pub(in crate::work) mod bag_files;
pub(in crate::work) mod copies;
pub(in crate::work) mod cover;
pub(in crate::work) mod desk;
pub mod disclosure;
pub(in crate::work) mod files;
pub(in crate::work) mod left_out;
pub mod package;
pub(in crate::work) mod place;
mod retold;
pub(in crate::work) mod seals;
mod sidecar_files;
pub(in crate::work) mod written;
