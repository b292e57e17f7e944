//! From an authority's certificate to a given root (RFC 5280, section 6), at the moment of a stamp.

use std::cell::Cell;

use der::Any;
use der::Decode as _;
use der::Encode as _;
use der::Sequence;
use der::asn1::BitString;
use der::asn1::Utf8StringRef;
use der::oid::ObjectIdentifier;
use der::pem;
use x509_cert::Certificate;
use x509_cert::ext::pkix::BasicConstraints;
use x509_cert::ext::pkix::ExtendedKeyUsage;
use x509_cert::ext::pkix::KeyUsage;
use x509_cert::name::Name;
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::evidence::stamp::fault::StampFault;
use crate::evidence::stamp::sign::Signed;

/// Most certificates above the authority's.
const DEPTH_MAX: usize = 8;

/// Most signatures that are tried for one reply.
const TRIES_MAX: u32 = 64;

/// Most bytes of one file of certificates that is read.
const GIVEN_MAX: usize = 1 << 20;

/// id-kp-timeStamping (RFC 3161, section 2.3).
const STAMPING: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.6.1.5.5.7.3.8");

/// anyExtendedKeyUsage (RFC 5280, section 4.2.1.12).
const ANY_USAGE: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.29.37.0");

const COMMON_NAME: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.3");

/// Extensions that may be critical: those checked here, and names and policies, which forbid nothing by themselves.
const KNOWN: [&str; 5] = [
    "2.5.29.15",
    "2.5.29.17",
    "2.5.29.19",
    "2.5.29.32",
    "2.5.29.37",
];

/// A certificate and its bytes as they came.
#[derive(Clone)]
pub(crate) struct Cert {
    /// All of it.
    pub(crate) der: Vec<u8>,
    /// The part that is signed.
    tbs: Vec<u8>,
    /// What it says.
    pub(crate) it: Certificate,
}

#[derive(Sequence)]
struct Outer {
    tbs: Any,
    algorithm: AlgorithmIdentifierOwned,
    signature: BitString,
}

impl Cert {
    /// Reads one from its DER.
    pub(crate) fn read(der: &[u8]) -> Option<Self> {
        let outer = Outer::from_der(der).ok()?;
        Some(Self {
            der: der.to_vec(),
            tbs: outer.tbs.to_der().ok()?,
            it: Certificate::from_der(der).ok()?,
        })
    }

    /// Reads what a user gives: one in DER, or one or more in PEM, with any text around them.
    ///
    /// # Errors
    /// When there is none, or one of them cannot be read.
    pub(crate) fn read_given(bytes: &[u8]) -> Result<Vec<Self>, StampFault> {
        if bytes.len() > GIVEN_MAX {
            return Err(StampFault::Given);
        }
        if bytes.first() == Some(&0x30) {
            return Ok(vec![Self::read(bytes).ok_or(StampFault::Given)?]);
        }
        let text = std::str::from_utf8(bytes).map_err(|_| StampFault::Given)?;
        let mut found = Vec::new();
        let mut rest = text;
        while let Some(at) = rest.find("-----BEGIN CERTIFICATE-----") {
            const END: &str = "-----END CERTIFICATE-----";
            let end = at + rest[at..].find(END).ok_or(StampFault::Given)? + END.len();
            let one = pem::decode_vec(&rest.as_bytes()[at..end]).ok();
            let one = one.and_then(|it| Self::read(&it.1));
            found.push(one.ok_or(StampFault::Given)?);
            rest = &rest[end..];
        }
        if found.is_empty() {
            return Err(StampFault::Given);
        }
        Ok(found)
    }

    /// The name a person would call its holder by.
    pub(crate) fn name(&self) -> String {
        spoken(&self.it.tbs_certificate.subject)
    }

    /// An extension, and whether it is critical.
    pub(crate) fn extension<'a, T>(&'a self) -> Result<Option<(bool, T)>, StampFault>
    where
        T: der::Decode<'a> + der::oid::AssociatedOid,
    {
        let found = self.it.tbs_certificate.get::<T>();
        found.map_err(|_| StampFault::Certificate(self.name()))
    }

    /// Whether it was valid, by seconds since 1970, both ends included.
    pub(crate) fn valid_at(&self, unix: i64) -> Result<(), StampFault> {
        let seconds = |it: x509_cert::time::Time| {
            i64::try_from(it.to_unix_duration().as_secs()).unwrap_or(i64::MAX)
        };
        let validity = &self.it.tbs_certificate.validity;
        if unix < seconds(validity.not_before) {
            return Err(StampFault::NotYet(self.name()));
        }
        if unix > seconds(validity.not_after) {
            return Err(StampFault::Expired(self.name()));
        }
        Ok(())
    }

    /// For time stamps and nothing else, by a critical extension (RFC 3161, section 2.3).
    pub(crate) fn only_for_stamps(&self) -> Result<(), StampFault> {
        match self.extension::<ExtendedKeyUsage>()? {
            Some((true, usage)) if usage.0 == [STAMPING] => {}
            _ => return Err(StampFault::NotForStamping),
        }
        let usage = self.extension::<KeyUsage>()?;
        let signs = |it: &KeyUsage| it.digital_signature() || it.non_repudiation();
        if usage.is_some_and(|it| !signs(&it.1)) {
            return Err(StampFault::NotForSigning);
        }
        Ok(())
    }

    /// Nothing critical in it that is not understood; the two names of its algorithm are the same.
    fn is_understood(&self) -> Result<(), StampFault> {
        let tbs = &self.it.tbs_certificate;
        let extensions = || tbs.extensions.iter().flatten();
        for it in extensions().filter(|it| it.critical) {
            let what = it.extn_id.to_string();
            if !KNOWN.contains(&what.as_str()) {
                let whose = self.name();
                return Err(StampFault::Condition { whose, what });
            }
        }
        if tbs.signature != self.it.signature_algorithm {
            return Err(StampFault::Certificate(self.name()));
        }
        Ok(())
    }

    /// May issue certificates with so many intermediates below it.
    fn may_issue(&self, below: usize) -> Result<(), StampFault> {
        let constraints = self.extension::<BasicConstraints>()?;
        let Some((
            _,
            BasicConstraints {
                ca: true,
                path_len_constraint: most,
            },
        )) = constraints
        else {
            return Err(StampFault::NotIssuer(self.name()));
        };
        if most.is_some_and(|it| below > usize::from(it)) {
            return Err(StampFault::PathLength(self.name()));
        }
        let usage = self.extension::<KeyUsage>()?;
        if usage.is_some_and(|it| !it.1.key_cert_sign()) {
            return Err(StampFault::NotIssuer(self.name()));
        }
        let kinds = self.extension::<ExtendedKeyUsage>()?;
        let stamping = |it: &ObjectIdentifier| *it == STAMPING || *it == ANY_USAGE;
        if kinds.is_some_and(|it| !it.1.0.iter().any(stamping)) {
            return Err(StampFault::IssuerUsage(self.name()));
        }
        Ok(())
    }

    /// Issued by itself: does not count for the length of a path (RFC 5280, section 6.1).
    fn is_own_issuer(&self) -> bool {
        self.it.tbs_certificate.issuer == self.it.tbs_certificate.subject
    }
}

/// The search for a chain.
pub(crate) struct Search<'a> {
    /// Where chains may end.
    pub(crate) roots: &'a [Cert],
    /// What may stand between.
    pub(crate) others: &'a [Cert],
    /// When, in seconds since 1970.
    pub(crate) unix: i64,
    /// Signatures tried so far.
    pub(crate) tries: Cell<u32>,
}

impl Search<'_> {
    /// The names from this certificate up to a root, both included.
    ///
    /// # Errors
    /// Why the first of the ways that were tried led nowhere.
    pub(crate) fn chain(&self, from: &Cert) -> Result<Vec<String>, StampFault> {
        let mut names = self.up(from, 0, 0)?;
        names.reverse();
        Ok(names)
    }

    /// The names from a root down to this certificate; `below` counts the intermediates that a path length counts.
    fn up(&self, from: &Cert, depth: usize, below: usize) -> Result<Vec<String>, StampFault> {
        from.is_understood()?;
        from.valid_at(self.unix)?;
        if self.roots.iter().any(|it| it.der == from.der) {
            return Ok(vec![from.name()]);
        }
        let mut fault = None;
        let issuer = &from.it.tbs_certificate.issuer;
        let named = |it: &&Cert| it.it.tbs_certificate.subject == *issuer && it.der != from.der;
        let (roots, others) = (self.roots.iter(), self.others.iter());
        for above in roots.chain(others).filter(named) {
            if depth == DEPTH_MAX {
                return Err(StampFault::TooMany);
            }
            let counted = below + usize::from(depth > 0 && !from.is_own_issuer());
            let way = self
                .link(from, above, counted)
                .and_then(|()| self.up(above, depth + 1, counted));
            match way {
                Ok(mut names) => {
                    names.push(from.name());
                    return Ok(names);
                }
                Err(StampFault::TooMany) => return Err(StampFault::TooMany),
                Err(other) => {
                    fault.get_or_insert(other);
                }
            }
        }
        Err(fault.unwrap_or_else(|| StampFault::NoRoot(from.name())))
    }

    /// Whether `above` issued `from` and was allowed to.
    fn link(&self, from: &Cert, above: &Cert, below: usize) -> Result<(), StampFault> {
        above.may_issue(below)?;
        self.tries.set(self.tries.get() + 1);
        if self.tries.get() > TRIES_MAX {
            return Err(StampFault::TooMany);
        }
        let signed = Signed {
            whose: from.name(),
            key: &above.it.tbs_certificate.subject_public_key_info,
            algorithm: from.it.signature_algorithm.oid,
            beside: None,
            message: &from.tbs,
            signature: from.it.signature.as_bytes().unwrap_or_default(),
        };
        let right = signed.is_right()?;
        right
            .then_some(())
            .ok_or_else(|| StampFault::Link(from.name()))
    }
}

/// The common name, or all of it where there is none.
pub(crate) fn spoken(name: &Name) -> String {
    let mut parts = name.0.iter().flat_map(|it| it.0.iter());
    let common = parts.rfind(|it| it.oid == COMMON_NAME);
    let common = common.and_then(|it| text(&it.value));
    plain(&common.unwrap_or_else(|| name.to_string()))
}

/// A string of one of the kinds that are ASCII or UTF-8.
fn text(any: &Any) -> Option<String> {
    let utf8 = any.decode_as::<Utf8StringRef<'_>>().ok();
    let text = utf8.map(|it| it.as_str().to_owned());
    text.or_else(|| Some(std::str::from_utf8(any.value()).ok()?.to_owned()))
}

/// Foreign words, fit for one line of a screen: no control characters, none that turn the direction, at most 200 characters.
pub(crate) fn plain(text: &str) -> String {
    let odd = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    };
    text.chars()
        .take(200)
        .map(|c| if odd(c) { '?' } else { c })
        .collect()
}
