"""`python -m generator`."""

import signal

if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
    # Loading what follows takes long enough for a Ctrl-C. Until `main` hears it, it ends this without a word.
    signal.signal(signal.SIGINT, signal.SIG_DFL)

from generator.cli import leave, main

if __name__ == "__main__":
    main()
    leave()
