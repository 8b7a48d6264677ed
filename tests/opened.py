"""`stripwright open` while a test runs."""

import contextlib
import re
import signal
import subprocess


@contextlib.contextmanager
def opened(call, folder, **more):
    """Runs a call of `stripwright open` in a folder, gives the address it prints, and ends it; it has
    to end well within ten seconds of SIGTERM."""
    running = subprocess.Popen(call, cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT, text=True, **more)
    said = ""
    try:
        for line in running.stdout:
            said += line
            found = re.search(r"^Open (http://\S+/) ;", line)
            if found:
                break
        else:
            raise RuntimeError(f"no address: {said}")
        yield found[1]
    finally:
        running.send_signal(signal.SIGTERM)
        try:
            status = running.wait(10)
        except subprocess.TimeoutExpired:
            running.kill()
            raise
        finally:
            running.stdout.close()
    if status != 0:
        raise RuntimeError(f"ended with {status}: {said}")
