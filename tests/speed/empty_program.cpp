// What any program of ours takes to start: nothing but its libraries.
int main() { return 0; }
