#include "files/digest.h"

#include "catch.h"

using stripwright::files::sha256;

TEST_CASE("SHA-256 of the standard's examples") {
  // FIPS 180-4's examples (NIST "SHA256.pdf": one block, two blocks) and the million a's of
  // FIPS 180-2, appendix B.3; the empty message is NIST's CAVP short message of length 0. From
  // memory, and as sha256sum prints them.
  CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(sha256(std::string(1'000'000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}
