//! Signatures and digests of time stamps: RSA (PKCS#1 v1.5 and PSS), ECDSA on P-256 and P-384, each with SHA-2, and Ed25519.
//!
//! `webpki` and `ring` check them; of a signature of a certificate and of one of a reply the same algorithms are accepted.

use der::Decode as _;
use der::Encode as _;
use der::Sequence;
use der::asn1::Uint;
use der::oid::ObjectIdentifier;
use p256::ecdsa::signature::hazmat::PrehashVerifier as _;
use rustls_pki_types::AlgorithmIdentifier;
use rustls_pki_types::CertificateDer;
use rustls_pki_types::InvalidSignature;
use rustls_pki_types::SignatureVerificationAlgorithm;
use rustls_pki_types::alg_id;
use sha2::Digest as _;
use sha2::Sha256;
use sha2::Sha384;
use sha2::Sha512;
use webpki::EndEntityCert;
use webpki::Error;
use webpki::ring;
use x509_cert::spki::AlgorithmIdentifierOwned;
use x509_cert::spki::SubjectPublicKeyInfoOwned;

use crate::evidence::stamp::fault::StampFault;

/// Fewest bits of an RSA key that is trusted; `ring` refuses shorter ones, this names them.
const RSA_BITS_MIN: usize = 2048;

const RSA: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.1");
const RSA_PSS: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.1.10");

/// What a signature may be made with. RSA keys have 2048 to 8192 bits; PSS takes the digest's length of salt.
pub(crate) static ALGORITHMS: &[&dyn SignatureVerificationAlgorithm] = &[
    ring::RSA_PKCS1_2048_8192_SHA256,
    ring::RSA_PKCS1_2048_8192_SHA384,
    ring::RSA_PKCS1_2048_8192_SHA512,
    ring::RSA_PKCS1_2048_8192_SHA256_ABSENT_PARAMS,
    ring::RSA_PKCS1_2048_8192_SHA384_ABSENT_PARAMS,
    ring::RSA_PKCS1_2048_8192_SHA512_ABSENT_PARAMS,
    ring::RSA_PSS_2048_8192_SHA256_LEGACY_KEY,
    ring::RSA_PSS_2048_8192_SHA384_LEGACY_KEY,
    ring::RSA_PSS_2048_8192_SHA512_LEGACY_KEY,
    &PssKey(ring::RSA_PSS_2048_8192_SHA256_LEGACY_KEY),
    &PssKey(ring::RSA_PSS_2048_8192_SHA384_LEGACY_KEY),
    &PssKey(ring::RSA_PSS_2048_8192_SHA512_LEGACY_KEY),
    ring::ECDSA_P256_SHA256,
    ring::ECDSA_P256_SHA384,
    &EcdsaSha512::P256,
    ring::ECDSA_P384_SHA256,
    ring::ECDSA_P384_SHA384,
    &EcdsaSha512::P384,
    ring::ED25519,
];

/// RSA-PSS by a key that is named for PSS alone (RFC 4055, section 1.2), without further conditions.
#[derive(Debug)]
struct PssKey(&'static dyn SignatureVerificationAlgorithm);

impl SignatureVerificationAlgorithm for PssKey {
    fn public_key_alg_id(&self) -> AlgorithmIdentifier {
        // id-RSASSA-PSS, 1.2.840.113549.1.1.10.
        AlgorithmIdentifier::from_slice(&[6, 9, 0x2a, 0x86, 0x48, 0x86, 0xf7, 0x0d, 1, 1, 10])
    }

    fn signature_alg_id(&self) -> AlgorithmIdentifier {
        self.0.signature_alg_id()
    }

    fn verify_signature(
        &self,
        key: &[u8],
        message: &[u8],
        signature: &[u8],
    ) -> Result<(), InvalidSignature> {
        self.0.verify_signature(key, message, signature)
    }
}

/// ECDSA with SHA-512 (RFC 5758), which `ring` does not have.
#[derive(Debug)]
enum EcdsaSha512 {
    P256,
    P384,
}

impl SignatureVerificationAlgorithm for EcdsaSha512 {
    fn public_key_alg_id(&self) -> AlgorithmIdentifier {
        match self {
            Self::P256 => alg_id::ECDSA_P256,
            Self::P384 => alg_id::ECDSA_P384,
        }
    }

    fn signature_alg_id(&self) -> AlgorithmIdentifier {
        alg_id::ECDSA_SHA512
    }

    fn verify_signature(
        &self,
        key: &[u8],
        message: &[u8],
        signature: &[u8],
    ) -> Result<(), InvalidSignature> {
        let digest = Sha512::digest(message);
        let verified = match self {
            Self::P256 => p256::ecdsa::VerifyingKey::from_sec1_bytes(key).and_then(|key| {
                let signature = p256::ecdsa::Signature::from_der(signature)?;
                key.verify_prehash(&digest, &signature)
            }),
            Self::P384 => p384::ecdsa::VerifyingKey::from_sec1_bytes(key).and_then(|key| {
                let signature = p384::ecdsa::Signature::from_der(signature)?;
                key.verify_prehash(&digest, &signature)
            }),
        };
        verified.map_err(|_| InvalidSignature)
    }
}

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

    /// RSA PKCS#1 v1.5 with this digest.
    fn rsa(self) -> AlgorithmIdentifier {
        match self {
            Self::Sha256 => alg_id::RSA_PKCS1_SHA256,
            Self::Sha384 => alg_id::RSA_PKCS1_SHA384,
            Self::Sha512 => alg_id::RSA_PKCS1_SHA512,
        }
    }
}

/// A signature to be checked.
pub(crate) struct Signed<'a> {
    /// For messages: whose signature it is when its algorithm is not accepted.
    pub(crate) whose: String,
    /// The certificate whose key it must be of.
    pub(crate) by: &'a CertificateDer<'static>,
    /// That key.
    pub(crate) key: &'a SubjectPublicKeyInfoOwned,
    /// The signature algorithm.
    pub(crate) algorithm: &'a AlgorithmIdentifierOwned,
    /// The digest named beside it, if there is one: the plain `rsaEncryption` of a signed message takes it (RFC 5754, section 3.2).
    pub(crate) beside: Option<Hash>,
    /// What was signed.
    pub(crate) message: &'a [u8],
    /// The signature.
    pub(crate) signature: &'a [u8],
}

/// RSAPublicKey (RFC 8017, appendix A.1.1).
#[derive(Sequence)]
struct RsaKey {
    modulus: Uint,
    exponent: Uint,
}

impl Signed<'_> {
    /// Whether the signature is right.
    ///
    /// # Errors
    /// When the algorithm or the key is not accepted.
    pub(crate) fn is_right(&self) -> Result<bool, StampFault> {
        let key = self.key;
        let key_algorithm = contents(&key.algorithm).ok_or_else(|| self.refused(&"its key"))?;
        let known = || {
            ALGORITHMS
                .iter()
                .filter(|it| *it.public_key_alg_id() == *key_algorithm)
        };
        if known().next().is_none() {
            return Err(self.refused(&key.algorithm.oid));
        }
        let named = match self.beside {
            Some(hash) if self.algorithm.oid == RSA => Some(hash.rsa().to_vec()),
            _ => contents(self.algorithm),
        };
        let algorithm = known().find(|it| named.as_deref() == Some(&*it.signature_alg_id()));
        let algorithm = algorithm.ok_or_else(|| self.refused(&self.algorithm.oid))?;
        if [RSA, RSA_PSS].contains(&key.algorithm.oid)
            && let Some(key) = key.subject_public_key.as_bytes()
            && let Ok(key) = RsaKey::from_der(key)
            && key.bits() < RSA_BITS_MIN
        {
            return Err(self.refused(&format!("RSA of {} bits", key.bits())));
        }
        let by = EndEntityCert::try_from(self.by).map_err(|_| self.refused(&"its key"))?;
        match by.verify_signature(*algorithm, self.message, self.signature) {
            Ok(()) => Ok(true),
            Err(Error::InvalidSignatureForPublicKey) => Ok(false),
            Err(_) => Err(self.refused(&"its key")),
        }
    }

    fn refused(&self, what: &dyn ToString) -> StampFault {
        StampFault::Algorithm {
            whose: self.whose.clone(),
            what: what.to_string(),
        }
    }
}

impl RsaKey {
    fn bits(&self) -> usize {
        let bytes = self.modulus.as_bytes();
        let leading = bytes.first().map_or(0, |it| it.leading_zeros() as usize);
        bytes.len() * 8 - leading
    }
}

/// The DER of an algorithm without the head of its sequence, as `webpki` names algorithms.
fn contents(algorithm: &AlgorithmIdentifierOwned) -> Option<Vec<u8>> {
    let mut der = algorithm.oid.to_der().ok()?;
    if let Some(parameters) = &algorithm.parameters {
        der.extend(parameters.to_der().ok()?);
    }
    Some(der)
}
