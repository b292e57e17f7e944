//! The marking page: one piece of one book, served to the browser of this machine.
//!
//! In: a doorway to a piece, a port. Out: answers on 127.0.0.1 to who holds the secret of the address.
//! May not know: any room but work, model and kit; it prints nothing.

mod answers;
mod assets;
mod body;
mod browser;
mod connection;
mod fault;
mod gate;
mod guard;
mod jobs;
mod limits;
mod lock;
mod marking_page;
mod patience;
mod refusal;
mod served;
mod session;

pub use assets::ASSETS;
pub use assets::Asset;
pub use browser::show;
pub use fault::DeskError;
pub use jobs::Now;
pub use limits::Limits;
pub use marking_page::Closed;
pub use marking_page::MarkingPage;
pub use marking_page::Order;
pub use marking_page::Stopper;
