//! A certificate: what it says of its holder, and what it allows for time stamps (RFC 5280, section 4; RFC 3161, section 2.3).

use der::Any;
use der::Decode as _;
use der::Encode as _;
use der::Sequence;
use der::asn1::BitString;
use der::asn1::Utf8StringRef;
use der::oid::ObjectIdentifier;
use der::pem;
use rustls_pki_types::CertificateDer;
use x509_cert::Certificate;
use x509_cert::ext::pkix::BasicConstraints;
use x509_cert::ext::pkix::ExtendedKeyUsage;
use x509_cert::ext::pkix::KeyUsage;
use x509_cert::name::Name;
use x509_cert::spki::AlgorithmIdentifierOwned;

use crate::evidence::stamp::fault::StampFault;
use crate::evidence::stamp::sign::Signed;

/// Most bytes of one file of certificates that is read.
const GIVEN_MAX: usize = 1 << 20;

/// id-kp-timeStamping (RFC 3161, section 2.3).
const STAMPING: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.6.1.5.5.7.3.8");

/// anyExtendedKeyUsage (RFC 5280, section 4.2.1.12).
const ANY_USAGE: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.29.37.0");

const COMMON_NAME: ObjectIdentifier = ObjectIdentifier::new_unwrap("2.5.4.3");

/// Extensions that may be critical: those checked here, and other names, which forbid nothing by themselves. Of those that
/// `webpki` knows, constraints of names are not taken: for a time stamp they say nothing.
const KNOWN: [&str; 4] = ["2.5.29.15", "2.5.29.17", "2.5.29.19", "2.5.29.37"];

/// A certificate and its bytes as they came.
#[derive(Clone)]
pub(crate) struct Cert {
    /// All of it.
    pub(crate) der: CertificateDer<'static>,
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
            der: CertificateDer::from(der.to_vec()),
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
        spoken(self.it.tbs_certificate().subject())
    }

    /// An extension, and whether it is critical.
    pub(crate) fn extension<'a, T>(&'a self) -> Result<Option<(bool, T)>, StampFault>
    where
        T: der::Decode<'a, Error = der::Error> + der::oid::AssociatedOid,
    {
        let found = self.it.tbs_certificate().get_extension::<T>();
        found.map_err(|_| StampFault::Certificate(self.name()))
    }

    /// Whether it was valid, by seconds since 1970, both ends included.
    pub(crate) fn valid_at(&self, unix: i64) -> Result<(), StampFault> {
        let seconds = |it: x509_cert::time::Time| {
            i64::try_from(it.to_unix_duration().as_secs()).unwrap_or(i64::MAX)
        };
        let validity = self.it.tbs_certificate().validity();
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
        let tbs = self.it.tbs_certificate();
        let extensions = || tbs.extensions().into_iter().flatten();
        for it in extensions().filter(|it| it.critical) {
            let what = it.extn_id.to_string();
            if !KNOWN.contains(&what.as_str()) {
                let whose = self.name();
                return Err(StampFault::Condition { whose, what });
            }
        }
        if tbs.signature() != self.it.signature_algorithm() {
            return Err(StampFault::Certificate(self.name()));
        }
        Ok(())
    }

    /// May issue certificates with so many intermediates below it.
    pub(crate) fn may_issue(&self, below: usize) -> Result<(), StampFault> {
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
    pub(crate) fn is_own_issuer(&self) -> bool {
        self.names(self)
    }

    /// Whether the other bears the name of who issued this one.
    pub(crate) fn names(&self, other: &Self) -> bool {
        self.it.tbs_certificate().issuer() == other.it.tbs_certificate().subject()
    }

    /// Whether the other's key made its signature.
    pub(crate) fn is_signed_by(&self, other: &Self) -> Result<bool, StampFault> {
        let signed = Signed {
            whose: self.name(),
            by: &other.der,
            key: other.it.tbs_certificate().subject_public_key_info(),
            algorithm: self.it.signature_algorithm(),
            beside: None,
            message: &self.tbs,
            signature: self.it.signature().as_bytes().unwrap_or_default(),
        };
        signed.is_right()
    }

    /// Understood, and valid at that time.
    pub(crate) fn stands(&self, unix: i64) -> Result<(), StampFault> {
        self.is_understood()?;
        self.valid_at(unix)
    }
}

/// The common name, or all of it where there is none.
pub(crate) fn spoken(name: &Name) -> String {
    let common = name.iter().filter(|it| it.oid == COMMON_NAME).last();
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
