//! From an authority's certificate to a given root (RFC 5280, section 6), at the moment of a stamp.
//!
//! The way and its signatures are `webpki`'s; what a certificate must allow for a time stamp is asked here.

use std::cell::RefCell;
use std::ptr;
use std::time::Duration;

use rustls_pki_types::TrustAnchor;
use rustls_pki_types::UnixTime;
use webpki::EndEntityCert;
use webpki::Error;
use webpki::ExtendedKeyUsageValidator;
use webpki::KeyPurposeIdIter;
use webpki::VerifiedPath;
use webpki::anchor_from_trusted_cert;

use crate::evidence::stamp::cert::Cert;
use crate::evidence::stamp::fault::StampFault;
use crate::evidence::stamp::sign::ALGORITHMS;

/// Most certificates above the authority's that are looked at to say what is wrong; `webpki` takes fewer.
const DEPTH_MAX: usize = 8;

/// Most signatures that are tried to see which certificates may stand in a chain.
const TRIES_MAX: u32 = 64;

/// The search for a chain.
pub(crate) struct Search<'a> {
    /// Where chains may end.
    pub(crate) roots: &'a [Cert],
    /// What may stand between.
    pub(crate) others: &'a [Cert],
    /// When, in seconds since 1970.
    pub(crate) unix: i64,
}

/// Tells `webpki` that extended key usage is checked here, for each certificate of a path.
struct UsageCheckedHere;

impl ExtendedKeyUsageValidator for UsageCheckedHere {
    fn validate(&self, mut all: KeyPurposeIdIter<'_, '_>) -> Result<(), Error> {
        all.try_for_each(|it| it.map(drop))
    }
}

impl Search<'_> {
    /// The names from this certificate up to a root, both included.
    ///
    /// `webpki` decides whether there is a way; what it does not ask of a certificate is asked here.
    ///
    /// # Errors
    /// Why there is none, by the certificate at fault.
    pub(crate) fn chain(&self, from: &Cert) -> Result<Vec<String>, StampFault> {
        from.stands(self.unix)?;
        if self.is_root(from) {
            return Ok(vec![from.name()]);
        }
        let roots = self.roots.iter();
        let roots = roots.filter_map(|it| Some((it, anchor_from_trusted_cert(&it.der).ok()?)));
        let (roots, anchors): (Vec<&Cert>, Vec<TrustAnchor<'_>>) = roots.unzip();
        let between = self.above(from)?;
        let der: Vec<_> = between.iter().map(|it| it.der.clone()).collect();
        let certs = |path: &VerifiedPath<'_>| -> Vec<&Cert> {
            let inside = path.intermediate_certificates();
            let inside = inside.filter_map(|it| between.iter().find(|own| own.der == it.der()));
            let root = anchors.iter().position(|it| ptr::eq(it, path.anchor()));
            inside.copied().chain(root.map(|at| roots[at])).collect()
        };
        let fault = RefCell::new(None);
        let allowed = |path: &VerifiedPath<'_>| {
            self.allowed(from, &certs(path)).map_err(|it| {
                fault.borrow_mut().get_or_insert(it);
                Error::UnknownIssuer
            })
        };
        let wrong = |_| StampFault::Certificate(from.name());
        let signer = EndEntityCert::try_from(&from.der).map_err(wrong)?;
        let time = Duration::from_secs(u64::try_from(self.unix).unwrap_or(0));
        let time = UnixTime::since_unix_epoch(time);
        let usage = UsageCheckedHere;
        match signer.verify_for_usage(
            ALGORITHMS,
            &anchors,
            &der,
            time,
            usage,
            None,
            Some(&allowed),
        ) {
            Ok(path) => {
                let above = certs(&path);
                Ok([&[from][..], &above]
                    .concat()
                    .iter()
                    .map(|it| it.name())
                    .collect())
            }
            Err(why) => Err(fault.take().unwrap_or_else(|| self.fault(from, &why))),
        }
    }

    /// What may stand above a certificate: what has signed it, or has signed one of these.
    ///
    /// A reply may bring many certificates of one name; without this, all orders of them would be tried.
    fn above(&self, from: &Cert) -> Result<Vec<&Cert>, StampFault> {
        let mut found: Vec<&Cert> = Vec::new();
        let (mut below, mut tries) = (from, 0);
        for at in 0.. {
            for it in self.others.iter().filter(|it| below.names(it)) {
                if it.der == from.der || found.iter().any(|own| own.der == it.der) {
                    continue;
                }
                tries += 1;
                if tries > TRIES_MAX {
                    return Err(StampFault::TooMany);
                }
                if below.is_signed_by(it) == Ok(true) {
                    found.push(it);
                }
            }
            match found.get(at) {
                Some(next) => below = next,
                None => break,
            }
        }
        Ok(found)
    }

    /// What `webpki` leaves to its user: all that is in the certificates is understood, the root too is valid at the time, and
    /// who stands above may issue by key usage and for time-stamping.
    fn allowed(&self, from: &Cert, above: &[&Cert]) -> Result<(), StampFault> {
        let (mut last, mut below) = (from, 0);
        for (depth, it) in above.iter().enumerate() {
            below += usize::from(depth > 0 && !last.is_own_issuer());
            it.stands(self.unix)?;
            it.may_issue(below)?;
            last = it;
        }
        Ok(())
    }

    /// Which certificate is at fault that no way was found, for who has to mend it. It only ever words a refusal.
    fn fault(&self, from: &Cert, why: &Error) -> StampFault {
        if matches!(
            why,
            Error::MaximumPathBuildCallsExceeded
                | Error::MaximumPathDepthExceeded
                | Error::MaximumSignatureChecksExceeded
        ) {
            return StampFault::TooMany;
        }
        let (mut at, mut above) = (from, Vec::new());
        while !self.is_root(at) && above.len() <= DEPTH_MAX {
            let named = |it: &&Cert| at.names(it) && it.der != at.der;
            let mut issuers: Vec<&Cert> = self.roots.iter().filter(named).collect();
            if issuers.is_empty() {
                issuers = self.others.iter().filter(named).collect();
            }
            let signed = issuers.iter().find(|it| at.is_signed_by(it) == Ok(true));
            let Some(issuer) = signed.or(issuers.first()) else {
                return StampFault::NoRoot(at.name());
            };
            above.push(*issuer);
            if let Err(fault) = self.allowed(from, &above) {
                return fault;
            }
            match at.is_signed_by(issuer) {
                Ok(true) => at = issuer,
                Ok(false) => return StampFault::Link(at.name()),
                Err(fault) => return fault,
            }
        }
        StampFault::Chain {
            whose: from.name(),
            why: why.to_string(),
        }
    }

    fn is_root(&self, cert: &Cert) -> bool {
        self.roots.iter().any(|it| it.der == cert.der)
    }
}
