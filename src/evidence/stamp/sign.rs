//! Signatures and digests of time stamps: RSA PKCS#1 v1.5, ECDSA on P-256 and P-384, each with SHA-2.

use der::Encode as _;
use der::oid::ObjectIdentifier;
use p256::ecdsa::signature::hazmat::PrehashVerifier as _;
use rsa::Pkcs1v15Sign;
use rsa::RsaPublicKey;
use rsa::pkcs8::DecodePublicKey as _;
use rsa::sha2::Digest as _;
use rsa::sha2::Sha256;
use rsa::sha2::Sha384;
use rsa::sha2::Sha512;
use rsa::traits::PublicKeyParts as _;
use x509_cert::spki::SubjectPublicKeyInfoOwned;

use crate::evidence::stamp::fault::StampFault;

/// Fewest bits of an RSA key that is trusted.
const RSA_BITS_MIN: usize = 2048;

const RSA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.1");
const EC: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.2.1");
const P256: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.3.1.7");
const P384: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.3.132.0.34");

/// A digest that is trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hash {
    /// SHA-256.
    Sha256,
    /// SHA-384.
    Sha384,
    /// SHA-512.
    Sha512,
}

impl Hash {
    /// By its object identifier (RFC 5754, section 2); `None` for SHA-1 and all others.
    pub(crate) fn of_oid(oid: &ObjectIdentifier) -> Option<Self> {
        match oid.to_string().as_str() {
            "2.16.840.1.101.3.4.2.1" => Some(Self::Sha256),
            "2.16.840.1.101.3.4.2.2" => Some(Self::Sha384),
            "2.16.840.1.101.3.4.2.3" => Some(Self::Sha512),
            _ => None,
        }
    }

    /// Digests bytes.
    pub(crate) fn digest(self, bytes: &[u8]) -> Vec<u8> {
        match self {
            Self::Sha256 => Sha256::digest(bytes).to_vec(),
            Self::Sha384 => Sha384::digest(bytes).to_vec(),
            Self::Sha512 => Sha512::digest(bytes).to_vec(),
        }
    }

    /// What a signature algorithm digests with: RSA (RFC 4055) or ECDSA (RFC 5758); the plain `rsaEncryption` of a signed
    /// message takes `beside`, the message's own digest (RFC 5754, section 3.2).
    fn of_signature(oid: &ObjectIdentifier, key: Kind, beside: Option<Self>) -> Option<Self> {
        match (oid.to_string().as_str(), key) {
            ("1.2.840.113549.1.1.11", Kind::Rsa)
            | ("1.2.840.10045.4.3.2", Kind::P256 | Kind::P384) => Some(Self::Sha256),
            ("1.2.840.113549.1.1.12", Kind::Rsa)
            | ("1.2.840.10045.4.3.3", Kind::P256 | Kind::P384) => Some(Self::Sha384),
            ("1.2.840.113549.1.1.13", Kind::Rsa)
            | ("1.2.840.10045.4.3.4", Kind::P256 | Kind::P384) => Some(Self::Sha512),
            ("1.2.840.113549.1.1.1", Kind::Rsa) => beside,
            _ => None,
        }
    }
}

#[derive(Clone, Copy)]
enum Kind {
    Rsa,
    P256,
    P384,
}

/// A signature to be checked.
pub(crate) struct Signed<'a> {
    /// For messages: who is at fault when the algorithm is not accepted.
    pub(crate) whose: String,
    /// The key it must be of.
    pub(crate) key: &'a SubjectPublicKeyInfoOwned,
    /// The signature algorithm.
    pub(crate) algorithm: ObjectIdentifier,
    /// The digest named beside it, if there is one.
    pub(crate) beside: Option<Hash>,
    /// What was signed.
    pub(crate) message: &'a [u8],
    /// The signature.
    pub(crate) signature: &'a [u8],
}

impl Signed<'_> {
    /// Whether the signature is right.
    ///
    /// # Errors
    /// When the algorithm or the key is not accepted.
    pub(crate) fn is_right(&self) -> Result<bool, StampFault> {
        let kind = self
            .kind()
            .ok_or_else(|| self.refused(&self.key.algorithm.oid))?;
        let hash = Hash::of_signature(&self.algorithm, kind, self.beside)
            .ok_or_else(|| self.refused(&self.algorithm))?;
        let der = self.key.to_der().map_err(|_| self.refused(&"its key"))?;
        let digest = hash.digest(self.message);
        match kind {
            Kind::Rsa => self.rsa(&der, hash, &digest),
            Kind::P256 => {
                let key = p256::ecdsa::VerifyingKey::from_public_key_der(&der)
                    .map_err(|_| self.refused(&"its key"))?;
                let signature = p256::ecdsa::Signature::from_der(self.signature);
                Ok(signature.is_ok_and(|it| key.verify_prehash(&digest, &it).is_ok()))
            }
            Kind::P384 => {
                let key = p384::ecdsa::VerifyingKey::from_public_key_der(&der)
                    .map_err(|_| self.refused(&"its key"))?;
                let signature = p384::ecdsa::Signature::from_der(self.signature);
                Ok(signature.is_ok_and(|it| key.verify_prehash(&digest, &it).is_ok()))
            }
        }
    }

    fn kind(&self) -> Option<Kind> {
        let algorithm = &self.key.algorithm;
        if algorithm.oid == RSA {
            return Some(Kind::Rsa);
        }
        let curve: ObjectIdentifier = algorithm.parameters.as_ref()?.decode_as().ok()?;
        match curve {
            _ if algorithm.oid != EC => None,
            P256 => Some(Kind::P256),
            P384 => Some(Kind::P384),
            _ => None,
        }
    }

    /// Keys of 2048 to 4096 bits; the crate itself refuses longer ones.
    fn rsa(&self, der: &[u8], hash: Hash, digest: &[u8]) -> Result<bool, StampFault> {
        let key = RsaPublicKey::from_public_key_der(der).map_err(|_| self.refused(&"its key"))?;
        let bits = key.n().bits();
        if bits < RSA_BITS_MIN {
            return Err(self.refused(&format!("RSA of {bits} bits")));
        }
        let padding = match hash {
            Hash::Sha256 => Pkcs1v15Sign::new::<Sha256>(),
            Hash::Sha384 => Pkcs1v15Sign::new::<Sha384>(),
            Hash::Sha512 => Pkcs1v15Sign::new::<Sha512>(),
        };
        Ok(key.verify(padding, digest, self.signature).is_ok())
    }

    fn refused(&self, what: &dyn ToString) -> StampFault {
        StampFault::Algorithm {
            whose: self.whose.clone(),
            what: what.to_string(),
        }
    }
}
