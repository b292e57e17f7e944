//! The marking page of one piece: opened, served, closed.

use std::collections::BTreeMap;
use std::io;
use std::net::Ipv4Addr;
use std::net::TcpListener;
use std::sync::Arc;

use tokio::runtime::Builder;
use tokio::sync::watch;
use tokio::time::timeout;

use crate::desk::auth::gate::Gate;
use crate::desk::auth::session;
use crate::desk::auth::session::Session;
use crate::desk::fault::DeskError;
use crate::desk::routes::answers::router;
use crate::desk::routes::jobs::Jobs;
use crate::desk::routes::jobs::Kind;
use crate::desk::routes::jobs::Now;
use crate::desk::routes::served::Served;
use crate::desk::server::connection::serve;
use crate::desk::server::limits::Limits;
use crate::desk::server::lock::Lock;
use crate::kit::clock::Moment;
use crate::work::WorkError;
use crate::work::marking::MarkingSession;

/// Which page to open.
pub struct MarkingRequest {
    /// The piece.
    pub marking: MarkingSession,
    /// The moment that counts as now, asked again for each job.
    pub now: Now,
    /// The port; `None` for the one of the last time, else any that is free.
    pub port: Option<u16>,
    /// The photo that it opens at.
    pub photo: Option<u32>,
    /// How long it waits and how much it takes in.
    pub limits: Limits,
}

/// A marking page that can be served: its port is taken, nobody else has this book's page open.
pub struct MarkingPage {
    listener: TcpListener,
    order: MarkingRequest,
    session: Session,
    ticket: String,
    notes: Vec<String>,
    before: Versions,
    stop: watch::Sender<bool>,
    _lock: Lock,
}

/// The version of each photo's sidecar.
type Versions = BTreeMap<u32, String>;

/// How a page was closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closed {
    /// Sidecars that are not as they were when the page was opened, by whoever changed them; `None` when the last
    /// reading did not come to its end.
    pub changed: Option<usize>,
}

/// Stops a page from another thread.
#[derive(Clone, Debug)]
pub struct Stopper(watch::Sender<bool>);

impl Stopper {
    /// Ends the serving: what runs comes to its end.
    pub fn stop(&self) {
        self.0.send_replace(true);
    }
}

impl MarkingPage {
    /// Reads what changed in the piece, and takes the book's page and a port.
    ///
    /// # Errors
    /// When there is no such piece or photo, the book cannot be written to, its page is open already, or the port cannot
    /// be had.
    pub fn open(order: MarkingRequest) -> Result<Self, DeskError> {
        let (root, piece) = (&order.marking.root, &order.marking.stock_no);
        let before = versions(&order.marking, (order.now)())?;
        if let Some(photo) = order.photo
            && !before.contains_key(&photo)
        {
            return Err(DeskError::NoPhoto {
                piece: piece.clone(),
                photo,
            });
        }
        let lock = Lock::take(root)?;
        let (listener, session, mut notes) = place(&order)?;
        if !session::keep(root, &session) {
            notes.push("this disk cannot keep a file for you alone: after a stop, the page gets a new address".into());
        }
        Ok(Self {
            listener,
            session,
            ticket: session::secret()?,
            notes,
            before,
            stop: watch::Sender::new(false),
            _lock: lock,
            order,
        })
    }

    /// The address for the user: it lets a browser in as often as it is opened.
    #[must_use]
    pub fn address(&self) -> String {
        let at = self.order.photo;
        let at = at.map_or_else(String::new, |it| format!("#picture/{it}"));
        format!("{}{at}", self.session.address())
    }

    /// The address to start a browser with: it lets in once, within a minute, since other users of this machine may see it.
    #[must_use]
    pub fn address_for_once(&self) -> String {
        format!("http://127.0.0.1:{}/{}", self.session.port, self.ticket)
    }

    /// What the user should know of how it was opened.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// What stops it.
    #[must_use]
    pub fn stopper(&self) -> Stopper {
        Stopper(self.stop.clone())
    }

    /// Serves until Ctrl-C, or until the system asks the program to end.
    ///
    /// # Errors
    /// When the system gives no means to serve.
    pub fn serve_until_interrupted(self) -> Result<Closed, DeskError> {
        let stopper = self.stopper();
        self.serve_beside(Some(stopper))
    }

    /// Serves until its [`Stopper`] says so.
    ///
    /// # Errors
    /// When the system gives no means to serve.
    pub fn serve(self) -> Result<Closed, DeskError> {
        self.serve_beside(None)
    }

    fn serve_beside(self, interrupted: Option<Stopper>) -> Result<Closed, DeskError> {
        let mut builder = Builder::new_current_thread();
        let runtime = builder.enable_all().max_blocking_threads(4).build();
        let runtime = runtime.map_err(DeskError::Serve)?;
        let limits = self.order.limits;
        let done = runtime.block_on(self.run(interrupted));
        runtime.shutdown_timeout(limits.closing);
        done
    }

    async fn run(self, interrupted: Option<Stopper>) -> Result<Closed, DeskError> {
        let listener =
            tokio::net::TcpListener::from_std(self.listener).map_err(DeskError::Serve)?;
        if let Some(stopper) = interrupted {
            let interrupt = interruption().map_err(DeskError::Serve)?;
            tokio::spawn(async move {
                interrupt.await;
                stopper.stop();
            });
        }
        let order = self.order;
        let root = order.marking.root.clone();
        let jobs = Jobs::new(order.marking, Arc::clone(&order.now));
        let served = Served {
            gate: Gate::new(&self.session, order.photo, self.ticket),
            jobs: jobs.clone(),
            limits: order.limits,
        };
        let router = router(Arc::new(served));
        serve(listener, router, order.limits, self.stop.subscribe()).await;
        let used = Session {
            used: (order.now)(),
            ..self.session
        };
        session::keep(&root, &used);
        let last = jobs.run(Kind::Book, versions);
        let after = timeout(order.limits.request, last).await;
        Ok(Closed {
            changed: match after {
                Ok(Ok(after)) => Some(changed(&self.before, &after)),
                _ => None,
            },
        })
    }
}

/// How many sidecars differ.
fn changed(before: &Versions, after: &Versions) -> usize {
    let photos = after.iter();
    photos.filter(|(no, it)| before.get(no) != Some(it)).count()
}

/// The version of each sidecar of a piece, after a walk.
fn versions(door: &MarkingSession, now: Moment) -> Result<Versions, WorkError> {
    let photos = door.walk(now)?.photos.into_iter();
    Ok(photos.map(|it| (it.no, it.version)).collect())
}

/// Takes a port: the one asked for, else the one of the last time, else any that no other piece of this book had.
fn place(order: &MarkingRequest) -> Result<(TcpListener, Session, Vec<String>), DeskError> {
    let now = (order.now)();
    let known = session::sessions(&order.marking.root);
    let piece = &order.marking.stock_no;
    let last = known.iter().find(|it| it.piece == *piece);
    let mut notes = Vec::new();
    let listener = match (order.port, last) {
        (Some(port), _) => bound(port)?,
        (None, Some(last)) => match bound(last.port) {
            Ok(it) => it,
            Err(_) => {
                notes.push(format!(
                    "port {} is taken by another program: a page left open there stays cut off; what it keeps is saved when you run this again with `--port {}` once the port is free",
                    last.port, last.port
                ));
                anywhere(&known)?
            }
        },
        (None, None) => anywhere(&known)?,
    };
    let port = listener.local_addr().map_err(DeskError::Serve)?.port();
    let again = last.filter(|it| it.port == port && it.is_fresh(now));
    let session = match again {
        Some(last) => Session {
            used: now,
            ..last.clone()
        },
        None => Session {
            piece: piece.clone(),
            port,
            secret: session::secret()?,
            cookie: session::secret()?,
            used: now,
        },
    };
    Ok((listener, session, notes))
}

/// Any free port, but none that belonged to another piece: a browser keeps what it kept by port.
fn anywhere(known: &[Session]) -> Result<TcpListener, DeskError> {
    let mut held = Vec::new();
    loop {
        let listener = bound(0)?;
        let port = listener.local_addr().map_err(DeskError::Serve)?.port();
        // As many are held as are known, at most: then one is new.
        if known.iter().all(|it| it.port != port) {
            return Ok(listener);
        }
        held.push(listener);
    }
}

/// Listens on this machine alone.
fn bound(port: u16) -> Result<TcpListener, DeskError> {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port));
    let listener = listener.and_then(|it| it.set_nonblocking(true).map(|()| it));
    listener.map_err(|source| DeskError::Port { port, source })
}

/// Becomes ready at Ctrl-C, or when the system asks the program to end.
fn interruption() -> io::Result<impl Future<Output = ()>> {
    #[cfg(unix)]
    let mut ends = tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate())?;
    Ok(async move {
        let interrupt = tokio::signal::ctrl_c();
        #[cfg(unix)]
        tokio::select! {
            _ = interrupt => {}
            _ = ends.recv() => {}
        }
        #[cfg(not(unix))]
        let _ = interrupt.await;
    })
}
