"""`sketch`: a commented spec file for a new bike, ready to fill in.

* answers      what is known of the bike, and which keys it needs
* questions    gathers the answers from options and questions
* values       converts values of the command line to those of a spec file
* drawing      the text of the file
* writing      the name of the file, and writing it
* dialogue     asks the questions on a terminal
"""
