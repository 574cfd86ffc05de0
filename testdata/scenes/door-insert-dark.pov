// The door insert of an invented caravan in near black plastic under one small
// lamp: hard shadows, little contrast between a hole and the face.
#include "photo.inc"
#declare About = "invented: a caravan's door insert in near black plastic, four holes, hard shadow, tilted 5 degrees";
#declare Seed = 103;
#declare Focal_35 = 27.6;
#declare Exposure = 1.15;
#declare Tint = <1.04, 1, 0.90>;
#include "panel.inc"

Camera(<26, 38, 0>, 410, 5, 20, -6)
Lamp(205, 38, 16, <1, 0.93, 0.82>*1.05)
Room_light(10, <0.9, 0.95, 1>*0.10)

Plastic(<0.030, 0.030, 0.032>, 0.5, 0)
Outline(array[5] {<-70, -74>, <160, -70>, <172, 110>, <60, 160>, <-74, 120>}, 20, 8)
Grille(<78, 64>, 54.0, 0, 0)
Mounting_hole(<43.2, 30.1>, 3.6)
Mounting_hole(<114.8, 27.6>, 3.6)
Mounting_hole(<116.9, 98.3>, 3.6)
Mounting_hole(<38.8, 97.1>, 3.6)

Slot(<-40, 86>, 18, 7, 90)
Slot(<140, -40>, 18, 7, 20)
Stray_hole(<14, 124>, 7)
Stray_hole(<60, -44>, 3.6)
Post(<-2, 62>, 4, 5)
Post(<104, -46>, 6, 7)
Rib(<-16, 108>, <-16, 52>, 1.5, 5)
Rib(<52, -20>, <148, -14>, 1.5, 5)
Panel()

Mesh(<78, 64>, 56, 1.0, 2.4, 1.6, 20, <0.03, 0.03, 0.03>)
Cloth(<78, 64>, 56, 3.5, <0.015, 0.015, 0.015>)
Foam(<124, 128>, 44, 12, 6, -24)
Square(3, 60, 60, <0, 0>, 0)
Bench(15, Wood(<0.30, 0.20, 0.12>))
Write_truth()
