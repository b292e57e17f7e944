"""A server of the S3 type (moto) on a free port of this machine, which checks every signature.

It prints one line of JSON: the port, and the keys. `shop` may list, get and put, `reader` may only list and get. Then it takes orders,
one a line, and answers each with `done`:

    put BUCKET NAME HEX    lays other bytes there
    delete BUCKET NAME     takes an object away

It ends when its input does.
"""

import json
import logging
import os
import sys

os.environ.update(AWS_ACCESS_KEY_ID="none", AWS_SECRET_ACCESS_KEY="none", AWS_DEFAULT_REGION="us-east-1")
logging.getLogger("werkzeug").setLevel(logging.ERROR)

import boto3  # noqa: E402
from moto import settings  # noqa: E402
from moto.server import ThreadedMotoServer  # noqa: E402

server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
server.start()
port = server.get_host_and_port()[1]
address = f"http://127.0.0.1:{port}"
iam = boto3.client("iam", endpoint_url=address)


def user(name, actions):
    iam.create_user(UserName=name)
    rule = {"Effect": "Allow", "Action": actions, "Resource": "*"}
    policy = json.dumps({"Version": "2012-10-17", "Statement": [rule]})
    iam.put_user_policy(UserName=name, PolicyName="it", PolicyDocument=policy)
    key = iam.create_access_key(UserName=name)["AccessKey"]
    return key["AccessKeyId"], key["SecretAccessKey"]


keys = {
    "shop": user("shop", ["s3:ListBucket", "s3:GetObject", "s3:PutObject"]),
    "reader": user("reader", ["s3:ListBucket", "s3:GetObject"]),
}
key, secret = user("owner", ["s3:*"])
s3 = boto3.client("s3", endpoint_url=address, aws_access_key_id=key, aws_secret_access_key=secret)
for name in ["shop", "dotted.shop"]:
    s3.create_bucket(Bucket=name)
# From here on nobody is let in without a key.
settings.INITIAL_NO_AUTH_ACTION_COUNT = 0
print(json.dumps({"port": port, **keys}), flush=True)

for line in sys.stdin:
    order, bucket, name, *rest = line.rstrip("\n").split(" ")
    if order == "put":
        s3.put_object(Bucket=bucket, Key=name, Body=bytes.fromhex(rest[0]))
    else:
        s3.delete_object(Bucket=bucket, Key=name)
    print("done", flush=True)
server.stop()
