"""A commented spec file, ready to fill in.

* answers      what is known of the bike, and which keys such a bike needs
* questions    asking for what the command line does not say
* values       values of the command line, as they stand in a spec file
* drawing      the text of the file
* writing      its name, and putting it there
"""
