//! The marking page: one piece of one book, served to the browser of this machine.
//!
//! In: a marking to a piece, a port. Out: answers on 127.0.0.1 to who holds the secret of the address.
//! May not know: any room but work, model and kit; it prints nothing.

mod auth;
mod fault;
mod routes;
mod server;

pub use crate::desk::routes::assets::ASSETS;
pub use crate::desk::routes::assets::Asset;
pub use crate::desk::routes::jobs::Now;
pub use crate::desk::server::browser::show;
pub use crate::desk::server::limits::Limits;
pub use crate::desk::server::marking_page::Closed;
pub use crate::desk::server::marking_page::MarkingPage;
pub use crate::desk::server::marking_page::MarkingRequest;
pub use crate::desk::server::marking_page::Stopper;
pub use fault::DeskError;
